// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/scaled.h"

namespace lastlook::screens {
namespace {

// The step strip only repeats what the answer zone does; a keypad is for what is seldom typed.
float least_px(const Target& target, float finger_px) {
  const bool may_be_smaller = target.key.starts_with("step.") || target.key.starts_with("keypad.");
  return (may_be_smaller ? 0.6F : 1.0F) * finger_px;
}

bool lies_over_others(const Target& target) {
  return target.key == "notice" || target.key == "picture";
}

bool overlap(const Rect& a, const Rect& b) {
  constexpr float slack = 0.5F;
  return a.x + slack < b.right() && b.x + slack < a.right() && a.y + slack < b.bottom() &&
         b.y + slack < a.bottom();
}

bool inside(const Rect& area, const Rect& whole) {
  constexpr float slack = 0.5F;
  return area.x >= whole.x && area.y >= whole.y && area.right() <= whole.right() + slack &&
         area.bottom() <= whole.bottom() + slack;
}

}  // namespace

bool has_room(const Canvas& canvas) {
  if (!canvas.complaints().empty()) return false;
  const std::vector<Target>& targets = canvas.targets();
  for (std::size_t i = 0; i < targets.size(); ++i) {
    const Rect& area = targets[i].area;
    const bool large = std::min(area.w, area.h) >= least_px(targets[i], canvas.size.finger_px) - 1;
    if (!large || !inside(area, canvas.whole)) return false;
    for (std::size_t j = 0; j < i && !lies_over_others(targets[i]); ++j)
      if (!lies_over_others(targets[j]) && overlap(area, targets[j].area)) return false;
  }
  return true;
}

const Scale& scale_with_room(std::span<const Scale> scales, const Theme& theme, const Rect& whole,
                             const std::function<void(Canvas&)>& draw) {
  for (const Scale& scale : scales.first(scales.size() - 1)) {
    ImDrawList nothing(ImGui::GetDrawListSharedData());
    nothing._ResetForNewFrame();
    nothing.PushTextureID(scale.fonts.text->ContainerAtlas->TexID);
    nothing.PushClipRectFullScreen();
    Touch nobody;
    Canvas canvas(nothing, theme, scale.fonts, scale.sizes, nobody, whole);
    draw(canvas);
    if (has_room(canvas)) return scale;
  }
  return scales.back();
}

}  // namespace lastlook::screens
