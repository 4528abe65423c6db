// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/returned.h"

#include <algorithm>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReturnedScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.question) return;
  const ReturnQuestion& asked = *facts.question;
  const Rect body = draw_head(canvas, facts, asked.unit.serial, say("returned.head"));
  const Work work = work_areas(canvas, body, 0);
  draw_history(canvas, facts, work.picture);
  Rect zone = work.zone;
  const Rect drop = zone.cut_bottom(size.touch_px, size.pad_px);
  const Rect twin = zone.cut_bottom(size.touch_px * 1.25F, size.gap_px);
  const Rect same = zone.cut_bottom(size.touch_px * 1.25F, size.pad_px);
  const std::string notice = worded(say, facts.inspection->master, asked.notice);
  const bool roomy = canvas.height_of(say("returned.title"), zone.w, Type::huge) + size.gap_px +
                         canvas.height_of(notice, zone.w, Type::text) <=
                     zone.h;
  canvas.paragraph(zone, say("returned.title"), Say::body, roomy ? Type::huge : Type::strong,
                   size.gap_px);
  canvas.text(zone, notice, Say::quiet, Type::text);
  // A parked look is gone on with; it is not a return. Neither is a unit that is held back.
  if (asked.notice.code == "parked" && asked.notice.subjects.size() == 3) {
    if (canvas.button("returned.resume", same,
                      {.kind = Kind::lead, .text = say("returned.resume")}))
      out.emplace_back(flows::Event(flows::Resume{asked.notice.subjects[2]}));
  } else if (asked.notice.code != "second_look_by_other" &&
             canvas.button("returned.same", same,
                           {.kind = Kind::lead,
                            .text = say("returned.same"),
                            .second = say("returned.same_second")})) {
    out.emplace_back(flows::Event(flows::StartReturn{asked.code}));
  }
  if (canvas.button("returned.twin", twin,
                    {.kind = Kind::must,
                     .text = say("returned.twin"),
                     .second = say("returned.twin_second"),
                     .shape = Shape::hold}))
    out.emplace_back(flows::Event(flows::AnotherBody{asked.code}));
  if (canvas.button("returned.drop", drop,
                    {.kind = Kind::quiet,
                     .text = say("returned.drop"),
                     .shape = Shape::back,
                     .type = Type::text}))
    out.emplace_back(DropQuestion{});
}

void ReturnedScreen::draw_history(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(area);
  Rect card = area.inside(size.pad_px * 1.3F, size.pad_px);
  canvas.paragraph(card, say("returned.history"), Say::card, Type::strong, size.pad_px);
  const float row_h = canvas.line_of(Type::strong) + 2 * canvas.line_of(Type::text);
  const auto room = static_cast<std::size_t>(card.h / (row_h + size.gap_px));
  const auto& looks = facts.question->unit.looks;
  // The newest that fit, oldest of them first.
  for (std::size_t i = looks.size() - std::min(looks.size(), room); i < looks.size(); ++i)
    draw_past(canvas, facts, looks[i], card.cut_top(row_h, size.gap_px));
}

void ReturnedScreen::draw_past(Canvas& canvas, const Facts& facts, const domain::PastLook& past,
                               Rect row) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const domain::Master& master = facts.inspection->master;
  const float mark = size.strong_px * 1.5F;
  const Rect side = row.cut_left(mark, size.pad_px);
  const DispositionLook look =
      past.disposition ? look_of(*past.disposition) : DispositionLook{Shape::parked, Kind::plain};
  canvas.shape(look.shape, {side.centre().x, side.y + mark * 0.5F}, mark, Ink::text, Ink::card);
  const std::string word = past.disposition
                               ? say("disposition." + std::string(to_word(*past.disposition)))
                               : say("returned.not_closed");
  const std::int64_t when = past.closed_us > 0 ? past.closed_us : past.opened_us;
  canvas.paragraph(
      row,
      say("returned.past", {look_number(say, past.number), word, age(say, when, facts.now_us)}),
      Say::card, Type::strong, 0);
  std::string findings;
  for (const domain::FindingAdded& f : past.findings)
    findings += (findings.empty() ? "" : "; ") +
                say("verdict.finding",
                    {component_name(master, f.component), defect_name(master, f.defect)});
  canvas.text(row, findings.empty() ? say("returned.no_findings") : findings, Say::card_quiet,
              Type::text);
}

}  // namespace lastlook::screens
