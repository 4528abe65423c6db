// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/story_pictures.h"

#include <algorithm>

namespace lastlook::app {

using namespace screens;

namespace {

PictureMark mark_of(const records::FindingRow& finding, const records::LookStory& look,
                    std::string what) {
  PictureMark mark{std::move(what), std::nullopt, {}};
  if (finding.place_x && finding.place_y) {
    mark.place = domain::Place{*finding.place_x, *finding.place_y};
    return mark;
  }
  const auto seen =
      std::ranges::find(look.opinions, finding.component, &records::OpinionRow::component);
  if (seen != look.opinions.end()) mark.box = {seen->x, seen->y, seen->w, seen->h};
  return mark;
}

StoryPicture& picture_of(std::vector<StoryPicture>& pictures, const std::string& hash) {
  const auto known = std::ranges::find(pictures, hash, &StoryPicture::hash);
  if (known != pictures.end()) return *known;
  pictures.push_back({hash, {}});
  return pictures.back();
}

}  // namespace

std::vector<StoryPicture> story_pictures(
    const records::UnitStory& story, const std::string& look,
    const std::function<std::string(const records::FindingRow&)>& name) {
  std::vector<StoryPicture> pictures;
  const auto of = std::ranges::find_if(
      story.looks, [&](const records::LookStory& one) { return one.look.look == look; });
  if (of == story.looks.end()) return pictures;
  std::string camera;
  for (const records::OpinionRow& opinion : of->opinions)
    if (!opinion.picture.empty()) camera = opinion.picture;
  const auto add = [&](bool with_photo) {
    for (const records::FindingRow& finding : of->findings) {
      if (finding.withdrawn || finding.picture.empty() == with_photo) continue;
      const std::string& hash = with_photo ? finding.picture : camera;
      if (hash.empty()) continue;
      picture_of(pictures, hash).marks.push_back(mark_of(finding, *of, name(finding)));
    }
  };
  add(true);
  if (!camera.empty()) picture_of(pictures, camera);
  add(false);
  return pictures;
}

}  // namespace lastlook::app
