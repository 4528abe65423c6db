// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_frame.h"

#include <fmt/format.h>

#include "kiosk/screens/modal.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void draw_marks(Canvas& canvas, const Facts& facts, const Rect& lies,
                const std::vector<domain::TeachingMark>& marks, bool named,
                std::string_view chosen) {
  const Sizes& size = canvas.size;
  for (const domain::TeachingMark& mark : marks) {
    const Rect place = on(lies, mark.box);
    const bool stands_out = mark.component == chosen;
    canvas.outline(place.inside(-2), Ink::shade, stands_out ? 9.0F : 6.0F, size.round_px * 0.5F);
    canvas.outline(place.inside(-2), stands_out ? Ink::warn : Ink::halo, stands_out ? 5.0F : 2.5F,
                   size.round_px * 0.5F);
  }
  for (const domain::TeachingMark& mark : marks) {
    if (!named && mark.component != chosen) continue;
    const Rect place = on(lies, mark.box);
    const std::string name = component_name(facts.inspection->master, mark.component);
    const float w = canvas.width_of(name, Type::text) + size.gap_px;
    const float h = canvas.line_of(Type::text);
    const Rect label{std::clamp(place.x, lies.x, std::max(lies.x, lies.right() - w)),
                     std::max(lies.y, place.y - h - 3), std::min(w, lies.w), h};
    canvas.fill(label, Ink::card, size.round_px * 0.4F);
    canvas.centred(label.inside(size.gap_px * 0.4F, 0), name, Say::card, Type::text, Align::left);
  }
}

std::string fault_words(const Facts& facts, const domain::KnownFault& fault) {
  return (*facts.say)("verdict.finding",
                      {component_name(facts.inspection->master, fault.component),
                       (*facts.say)(fmt::format("fault_seen.{}", to_word(fault.seen)))});
}

std::string wanted_words(const Facts& facts, const domain::Wanted& wanted) {
  const bool of_component = wanted.what == domain::Wanted::What::fault;
  const domain::Master& master = facts.inspection->master;
  return (*facts.say)(
      fmt::format("wanted.{}", to_word(wanted.what)),
      {of_component ? component_name(master, wanted.of) : variant_name(master, wanted.of),
       std::to_string(wanted.pictures)});
}

bool draw_take(Canvas& canvas, const Facts& facts, const Rect& area, const ButtonLook& look) {
  if (!facts.teaching->at.busy) return canvas.button("teach.take", area, look);
  canvas.fill(area, Ink::sunk, canvas.size.round_px);
  canvas.centred(area.inside(canvas.size.gap_px), (*facts.say)("teach.saving"), Say::sunk,
                 Type::strong);
  return false;
}

void draw_teach_back(Canvas& canvas, const Facts& facts, Rect& zone, flows::TeachEvent back,
                     Requests& out) {
  if (canvas.button("teach.back", zone.cut_bottom(canvas.size.touch_px, canvas.size.gap_px),
                    back_look(*facts.say)))
    ask_for(out, std::move(back));
}

}  // namespace lastlook::screens
