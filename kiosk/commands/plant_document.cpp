// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/plant_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>

#include "kiosk/commands/output.h"
#include "kiosk/commands/places.h"
#include "kiosk/records/base64.h"
#include "kiosk/text/master_json.h"

namespace lastlook::commands {
namespace {

using Document = nlohmann::ordered_json;  // what is not changed stays where it is

// No text in base64 has a point in it.
bool names_a_file(const Document& picture) {
  return picture.is_string() &&
         picture.get_ref<const std::string&>().find('.') != std::string::npos;
}

Result<std::string> picture_in(const std::filesystem::path& file) {
  auto bytes = read_file(file);
  if (!bytes) return bytes;
  if (cv::imdecode(cv::Mat(1, static_cast<int>(bytes->size()), CV_8U, bytes->data()),
                   cv::IMREAD_COLOR)
          .empty())
    return fail(Category::bad_input,
                fmt::format("{}: is no picture, expected a JPEG or PNG file", file.string()));
  return records::to_base64({reinterpret_cast<const unsigned char*>(bytes->data()), bytes->size()});
}

// True: a picture was taken in.
Result<bool> take_pictures_in(Document& document, const std::filesystem::path& folder) {
  bool taken = false;
  const auto samples = document.is_object() ? document.find("limit_samples") : document.end();
  if (!document.is_object() || samples == document.end() || !samples->is_array()) return taken;
  for (std::size_t i = 0; i < samples->size(); ++i) {
    Document& sample = (*samples)[i];
    if (!sample.is_object() || !sample.contains("picture") || !names_a_file(sample["picture"]))
      continue;
    auto picture = picture_in(folder / sample["picture"].get<std::string>());
    if (!picture)
      return fail(Category::bad_input,
                  fmt::format("limit_samples[{}].picture: {}", i, picture.error().message));
    sample["picture"] = *std::move(picture);
    taken = true;
  }
  return taken;
}

}  // namespace

Result<PlantDocument> read_plant_document(const std::filesystem::path& file) {
  auto text = read_file(file);
  if (!text) return tl::unexpected(text.error());
  // What is no JSON is complained about below, with its place.
  Document document = Document::parse(*text, nullptr, false);
  const auto taken = take_pictures_in(document, file.parent_path());
  if (!taken) return in_file(file.string(), taken.error());
  if (*taken) *text = document.dump(1) + "\n";
  auto master = text::read_new_master(*text);
  if (!master) return in_file(file.string(), master.error());
  return PlantDocument{std::move(*master), std::move(*text)};
}

}  // namespace lastlook::commands
