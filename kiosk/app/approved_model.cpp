// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/approved_model.h"

#include <fmt/format.h>

#include "vision/model_file.h"

namespace lastlook::app {

Result<vision::Model> approved_model(const records::Pictures& pictures, const std::string& model,
                                     const std::string& file) {
  const auto whole = pictures.is_whole(file);
  if (!whole) return tl::unexpected(whole.error());
  if (!*whole)
    return fail(Category::damaged,
                fmt::format("the file of the approved model {} is missing or altered: {}", model,
                            pictures.path_of(file).string()));
  auto loaded = vision::load_model(pictures.path_of(file));
  if (loaded && loaded->id != model)
    return fail(Category::damaged,
                fmt::format("model {} was approved, its file holds {}", model, loaded->id));
  return loaded;
}

}  // namespace lastlook::app
