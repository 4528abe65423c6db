// SPDX-License-Identifier: Apache-2.0
// What was taught about one product seen by one camera: where its components belong, what each
// variant expects, and how each component looks when it is right. One self-contained file.
#pragma once

#include <filesystem>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/result.h"

namespace lastlook::vision {

enum class Expected { present, absent };

struct Component {
  std::string name;
  cv::Rect2d box_px;  // its nominal place on the reference picture
};

struct Variant {
  std::string name;
  std::vector<Expected> expected;  // one for each component, in the model's order
};

struct Taught;  // what only the judge reads; see vision/taught.h

// Cheap to copy; what it points to never changes, so threads may share it.
struct Model {
  std::string id;  // 16 hex digits of what was taught: equal content, equal id
  cv::Size picture_px;
  std::vector<Component> components;
  std::vector<Variant> variants;
  std::shared_ptr<const Taught> taught;

  std::optional<std::size_t> variant_index(std::string_view name) const;
};

// Errors: io (cannot be read), bad_input (not a model), damaged (cut short or altered), newer.
Result<Model> load_model(const std::filesystem::path& path);
// Replaces the file whole or not at all. Errors: io.
Status save_model(const Model& model, const std::filesystem::path& path);

}  // namespace lastlook::vision
