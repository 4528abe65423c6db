// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/variant.h"

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void VariantScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.inspection->open) return;
  const flows::OpenLook& look = *facts.inspection->open;
  const Rect body = draw_head(canvas, facts, unit_name(look.opened), look_number(say, look.opened));
  Work work = work_areas(canvas, body, 0);
  const Rect lies = draw_camera(canvas, facts, work.picture);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
  Rect zone = work.zone;
  canvas.paragraph(zone, say("variant.title"), Say::body, Type::huge, size.gap_px * 0.5F);
  canvas.paragraph(zone, say("variant.how"), Say::quiet, Type::text, size.pad_px);
  const Rect park = zone.cut_bottom(size.touch_px, size.pad_px);
  const auto& variants = facts.inspection->master.variants;
  pager_.draw(canvas, say, "variants.more", zone, variants.size(), 1, size.touch_px * 1.2F,
              size.touch_px * 2.2F, [&](std::size_t i, const Rect& cell) {
                const ButtonLook tile{.text = variants[i].id, .second = variants[i].body};
                if (canvas.button("variant." + variants[i].id, cell, tile))
                  out.emplace_back(flows::Event(flows::ConfirmVariant{variants[i].id}));
              });
  if (canvas.button("variant.park", park,
                    {.kind = Kind::quiet,
                     .text = say("variant.not_sure"),
                     .shape = Shape::parked,
                     .type = Type::text}))
    out.emplace_back(flows::Event(flows::Park{domain::ParkReason::needs_advice, ""}));
}

}  // namespace lastlook::screens
