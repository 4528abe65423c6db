// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/unit_picture.h"

namespace lastlook::screens {
namespace {

// The corner of the picture that is farthest from the place.
Rect corner_away(const Rect& lies, Spot place, float w, float h, float margin) {
  const float x = place.x < lies.centre().x ? lies.right() - w - margin : lies.x + margin;
  const float y = place.y < lies.centre().y ? lies.bottom() - h - margin : lies.y + margin;
  return {x, y, w, h};
}

}  // namespace

Rect part_around(const domain::Box& box, const Rect& into, float aspect) {
  const float shape = into.w / into.h / aspect;  // width to height in fractions
  const float w = static_cast<float>(box.w) * 1.35F, h = static_cast<float>(box.h) * 1.35F;
  float part_w = std::max(w, h * shape), part_h = part_w / shape;
  if (part_w > 1) part_w = 1, part_h = 1 / shape;
  const float x = static_cast<float>(box.x + box.w / 2) - part_w / 2;
  const float y = static_cast<float>(box.y + box.h / 2) - part_h / 2;
  return {std::clamp(x, 0.0F, 1 - part_w), std::clamp(y, 0.0F, std::max(0.0F, 1 - part_h)), part_w,
          part_h};
}

void draw_where(Canvas& canvas, const Facts& facts, const Rect& lies, const domain::Box& box,
                bool closer, bool differs) {
  const Sizes& size = canvas.size;
  if (box.w <= 0) return;
  const std::uintptr_t overlay = differs ? facts.camera.overlay : 0;
  const float margin = size.gap_px * 0.5F;
  const Rect place = on(lies, box).inside(-margin);
  canvas.shade_around(lies, place, closer ? 110 : 60);
  if (overlay != 0)
    canvas.soft(place, overlay,
                {(place.x - lies.x) / lies.w, (place.y - lies.y) / lies.h, place.w / lies.w,
                 place.h / lies.h},
                Ink::warn);
  canvas.outline(place.inside(-2), Ink::shade, 7, size.round_px * 0.6F);
  canvas.outline(place.inside(-2), Ink::halo, 3.5F, size.round_px * 0.6F);
  if (!closer) return;
  const Rect inset = corner_away(lies, place.centre(), lies.w * 0.34F, lies.h * 0.34F, size.gap_px);
  canvas.fill(inset.inside(-4), Ink::halo, size.round_px * 0.5F);
  // Without the overlay: what is seen closer keeps its colours.
  canvas.picture(inset, facts.camera.texture, part_around(box, inset, facts.camera.aspect));
}

void draw_finding_marks(Canvas& canvas, std::span<const domain::FindingAdded> findings,
                        const Rect& lies) {
  for (const domain::FindingAdded& finding : findings) {
    if (!finding.place) continue;
    const Spot at{lies.x + static_cast<float>(finding.place->x) * lies.w,
                  lies.y + static_cast<float>(finding.place->y) * lies.h};
    canvas.shape(Shape::place, at, canvas.size.huge_px, Ink::warn, Ink::on_warn);
  }
}

}  // namespace lastlook::screens
