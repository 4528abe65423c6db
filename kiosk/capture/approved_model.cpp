// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/approved_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "vision/model_file.h"

namespace lastlook::capture {

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

Result<std::filesystem::path> model_before_approval(const std::filesystem::path& folder) {
  namespace fs = std::filesystem;
  std::vector<fs::path> files;
  std::error_code error;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    if (at->path().extension() == ".model") files.push_back(at->path());
  if (error) return fail(Category::io, folder.string() + ": " + error.message());
  return files.empty() ? fs::path() : *std::ranges::min_element(files);
}

}  // namespace lastlook::capture
