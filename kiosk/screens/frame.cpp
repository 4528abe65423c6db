// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/frame.h"

#include "kiosk/screens/wording.h"

namespace lastlook::screens {

Work work_areas(const Canvas& canvas, const Rect& body, float strip_px) {
  const Sizes& size = canvas.size;
  Rect rest = body;
  const float zone_w = std::min(body.w * 0.45F, std::max(body.w * 0.32F, size.touch_px * 3.6F));
  const float gap = size.pad_px;
  const Rect zone = canvas.left_handed ? rest.cut_left(zone_w, gap) : rest.cut_right(zone_w, gap);
  const Rect strip = strip_px > 0 ? rest.cut_bottom(strip_px, size.gap_px) : Rect{};
  return {rest, strip, zone};
}

Rect draw_head(Canvas& canvas, const Facts& facts, std::string_view about,
               std::string_view second) {
  const Sizes& size = canvas.size;
  canvas.fill(canvas.whole, Ink::paper);
  Rect body = canvas.whole.inside(size.pad_px, size.gap_px);
  Rect head = body.cut_top(canvas.line_of(Type::strong), size.gap_px);
  const std::string_view person = facts.person_name;
  canvas.centred(head.cut_right(canvas.width_of("00:00", Type::strong) + 2), facts.time, Say::body,
                 Type::strong, Align::right);
  head.cut_right(size.pad_px);
  const float person_w = std::min(head.w / 3, canvas.width_of(person, Type::text) + 2);
  canvas.centred(head.cut_right(person_w), person, Say::quiet, Type::text, Align::right);
  if (!person.empty())
    canvas.shape(Shape::person, head.cut_right(size.text_px * 1.4F, size.pad_px).centre(),
                 size.text_px * 0.9F, Ink::quiet, Ink::paper);
  const bool called = facts.help && !facts.help_shown;
  const std::string beside =
      called ? (*facts.say)("help.still",
                            {moment(facts.help->called_us, facts.now_us, facts.offset_min)})
             : std::string(second);
  // In smaller type where what stands beside it would have no room.
  const float beside_w = beside.empty() ? 0 : canvas.width_of(beside, Type::text) + size.pad_px;
  const bool fits = canvas.width_of(about, Type::strong) + 2 + beside_w <= head.w;
  const Type type = fits ? Type::strong : Type::text;
  const float about_w = std::min(head.w, canvas.width_of(about, type) + 2);
  canvas.centred(head.cut_left(about_w, size.pad_px), about, Say::body, type, Align::left);
  canvas.centred(head, beside, called ? Say::lead : Say::quiet, Type::text, Align::left);
  return body;
}

Rect draw_camera(Canvas& canvas, const Facts& facts, const Rect& area) {
  const Sizes& size = canvas.size;
  if (facts.camera.texture == 0) {
    canvas.fill(area, Ink::sunk, size.round_px);
    Rect middle = area.inside(size.pad_px * 2);
    Rect words = middle.cut_bottom(middle.h / 2);
    canvas.shape(Shape::eye_shut, {middle.centre().x, middle.bottom() - size.huge_px},
                 size.huge_px * 1.6F, Ink::quiet, Ink::sunk);
    words.cut_top(canvas.text(words, (*facts.say)("camera." + facts.camera.state), Say::sunk,
                              Type::strong, Align::middle),
                  size.gap_px);
    words.cut_top(canvas.text(words, (*facts.say)("camera.look_yourself"), Say::sunk, Type::text,
                              Align::middle),
                  size.gap_px);
    if (canvas.height_of(facts.camera.detail, words.w, Type::text) <= words.h)
      canvas.text(words, facts.camera.detail, Say::sunk, Type::text, Align::middle);
    return {};
  }
  Rect lies = fitted(area, facts.camera.aspect);
  lies.y = area.y;  // level with the zone of the hands
  canvas.picture(lies, facts.camera.texture);
  return lies;
}

void draw_sign(Canvas& canvas, Rect& card, Shape shape, float across_px) {
  const Rect row = card.cut_top(across_px, canvas.size.gap_px);
  canvas.shape(shape, {row.x + across_px / 2, row.centre().y}, across_px, Ink::lead, Ink::card);
}

void draw_notices(Canvas& canvas, const Facts& facts, const Rect& over, Requests& out) {
  if (facts.notices.empty()) return;
  const Sizes& size = canvas.size;
  std::string words;
  for (const std::string& notice : facts.notices) words += (words.empty() ? "" : "\n") + notice;
  const float mark = size.strong_px * 1.4F;
  Rect room = over.inside(size.gap_px);
  const float text_w = room.w - 3 * size.pad_px - mark;
  const float text_h = canvas.height_of(words, text_w, Type::strong);
  const Rect banner = room.cut_top(std::max(text_h + 2 * size.gap_px, size.touch_px));
  canvas.fill(banner, Ink::card, size.round_px);
  canvas.outline(banner, Ink::lead, 3, size.round_px);
  Rect inner = banner.inside(size.pad_px, size.gap_px);
  canvas.shape(Shape::caution, inner.cut_left(mark, size.pad_px).centre(), mark, Ink::lead,
               Ink::card);
  canvas.centred(inner, words, Say::card, Type::strong, Align::left);
  if (canvas.target("notice", banner)) out.emplace_back(DismissNotices{});
}

}  // namespace lastlook::screens
