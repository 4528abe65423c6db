// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/step_strip.h"
#include "kiosk/screens/unit_picture.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

using domain::Disposition;

namespace {

// Answered as conforming where the camera's newest opinion says no.
std::string camera_differs(const domain::Master& master, const flows::OpenLook& look) {
  std::string names;
  if (!look.opinion) return names;
  for (const domain::ComponentOpinion& opinion : look.opinion->components) {
    if (opinion.conforming != "no") continue;
    for (const flows::StepState& step : look.steps)
      if (step.step.component == opinion.component && step.answer == domain::Answer::conforming)
        names += (names.empty() ? "" : ", ") + component_name(master, opinion.component);
  }
  return names;
}

std::optional<domain::UpstreamTest> missing_by_paper(const Facts& facts) {
  for (const flows::Obstacle& obstacle : facts.obstacles) {
    if (obstacle.why != flows::Obstacle::Why::result_missing) continue;
    for (const domain::UpstreamRule& rule : facts.inspection->open->master.required_results)
      if (to_word(rule.test) == obstacle.subject && rule.away == domain::AwayRule::paper_two_people)
        return rule.test;
  }
  return std::nullopt;
}

}  // namespace

void VerdictScreen::enter() {
  parking_ = reading_paper_ = false;
  second_.leave();
}

void VerdictScreen::update(const Facts& facts) {
  using Why = flows::Obstacle::Why;
  second_.update(facts);
  reasons_.clear();
  waits_for_result_ = false;
  if (!facts.inspection->open) return;
  const domain::Master& master = facts.inspection->master;
  for (const domain::FindingAdded& f : facts.inspection->open->findings)
    reasons_.push_back((*facts.say)(
        "verdict.finding", {component_name(master, f.component), defect_name(master, f.defect)}));
  std::size_t open_steps = 0;
  for (const flows::Obstacle& obstacle : facts.obstacles) {
    waits_for_result_ = waits_for_result_ || obstacle.why == Why::result_missing;
    open_steps += obstacle.why == Why::step_unanswered ? 1 : 0;
    // Findings are listed above, by what they are; open steps below, in one line.
    if (obstacle.why != Why::finding_open && obstacle.why != Why::step_unanswered)
      reasons_.push_back(worded(*facts.say, master, obstacle));
  }
  if (open_steps > 0)
    reasons_.push_back((*facts.say)("verdict.steps_open", {std::to_string(open_steps)}));
  camera_differs_ = camera_differs(master, *facts.inspection->open);
  can_accept_ = std::ranges::count(facts.possible, Disposition::accept) > 0;
  by_paper_ = missing_by_paper(facts);
}

void VerdictScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  if (!facts.inspection->open) return;
  const flows::OpenLook& look = *facts.inspection->open;
  canvas.inert(parking_ || reading_paper_ || second_.is_asked() || facts.other_tag);
  const Rect body = draw_head(canvas, facts, unit_name(look.opened),
                              say("look.head", {look.variant, look_number(say, look.opened)}));
  Work work = work_areas(canvas, body, step_strip_height(canvas));
  const Rect lies = draw_camera(canvas, facts, work.picture);
  if (lies.w > 0) draw_finding_marks(canvas, look.findings, lies);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
  if (const auto touched = draw_step_strip(canvas, look, look.steps.size(), work.strip))
    out.emplace_back(ReviseStep{*touched});
  draw_choices(canvas, facts, work.zone, out);
  canvas.inert(false);
  if (facts.other_tag) return ask_other_tag(canvas, facts, out);
  second_.draw(canvas, facts, out);
  if (reading_paper_) ask_paper(canvas, facts);
  if (!parking_) return;
  if (const auto event = ask_park(canvas, say, parking_)) out.emplace_back(*event);
}

void VerdictScreen::draw_choices(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out) {
  const Sizes& size = canvas.size;
  const auto& possible = facts.possible;
  // On a small screen two choices a row, so that the reasons above keep their room.
  const bool compact = possible.size() > 1 && zone.h < size.touch_px * 6.5F;
  if (compact) {
    const int rows = static_cast<int>(possible.size() / 2) + 1;
    const float h = static_cast<float>(rows) * (size.touch_px + size.gap_px) - size.gap_px;
    const auto grid = cells(zone.cut_bottom(h, size.gap_px), 2, rows, size.gap_px);
    for (std::size_t i = 0; i < possible.size(); ++i)
      draw_choice(canvas, facts, possible[i], grid[i], true, out);
    draw_park(canvas, facts, grid[possible.size()], true, out);
  } else {
    draw_park(canvas, facts, zone.cut_bottom(size.touch_px, size.gap_px), false, out);
    const float button_h = can_accept_
                               ? size.touch_px * 1.9F
                               : std::clamp(zone.h * 0.2F, size.touch_px, size.touch_px * 1.25F);
    for (std::size_t i = possible.size(); i-- > 0;)
      draw_choice(canvas, facts, possible[i], zone.cut_bottom(button_h, size.gap_px), false, out);
  }
  for (const std::string& number : facts.concessions)
    if (canvas.button("concession." + number, zone.cut_bottom(size.touch_px, size.gap_px),
                      {.text = (*facts.say)("decide.concession", {number}), .type = Type::text}))
      out.emplace_back(flows::Event(flows::Close{Disposition::accept, number}));
  if (by_paper_ && canvas.button("paper", zone.cut_bottom(size.touch_px, size.gap_px),
                                 {.text = (*facts.say)("verdict.paper", {test_name(facts)}),
                                  .type = Type::text}))
    reading_paper_ = true;
  draw_reasons(canvas, facts, zone);
}

std::string VerdictScreen::test_name(const Facts& facts) const {
  return by_paper_ ? (*facts.say)("upstream_test." + std::string(to_word(*by_paper_))) : "";
}

// What the stamp says; the second person has read it too.
void VerdictScreen::ask_paper(Canvas& canvas, const Facts& facts) {
  const text::Strings& say = *facts.say;
  const std::array choices{
      Choice{"paper.passed", {.text = say("paper.passed"), .shape = Shape::conforming}},
      Choice{"paper.failed", {.text = say("paper.failed"), .shape = Shape::nonconforming}},
      Choice{"paper.back", back_look(say)}};
  const auto chosen =
      ask(canvas, say("paper.title", {test_name(facts)}), say("paper.text"), choices);
  if (!chosen) return;
  reading_paper_ = false;
  if (*chosen > 1 || !by_paper_) return;
  flows::EnterPaperResult paper;
  paper.serial = facts.inspection->open->opened.serial;
  paper.result.test = *by_paper_;
  paper.result.passed = *chosen == 0;
  second_.ask(paper, facts);
}

void VerdictScreen::draw_choice(Canvas& canvas, const Facts& facts, Disposition disposition,
                                const Rect& cell, bool compact, Requests& out) {
  const text::Strings& say = *facts.say;
  const std::string word(to_word(disposition));
  const DispositionLook look = look_of(disposition);
  const bool second_look = flows::is_second_look(*facts.inspection->open);
  const ButtonLook button{
      .kind = look.kind,
      .text = say("decide." + word),
      .second = compact ? "" : say(second_look ? "decide_second.blind" : "decide_second." + word),
      .shape = look.shape,
      .type = can_accept_ ? Type::huge : Type::strong};
  if (canvas.button("close." + word, cell, button))
    out.emplace_back(flows::Event(flows::Close{disposition, ""}));
}

void VerdictScreen::draw_park(Canvas& canvas, const Facts& facts, const Rect& cell, bool compact,
                              Requests& out) {
  const bool waits = waits_for_result_ && !compact;
  const ButtonLook park{
      .kind = waits_for_result_ && facts.possible.empty() ? Kind::lead : Kind::quiet,
      .text = (*facts.say)(waits ? "verdict.park_wait" : "look.park"),
      .shape = Shape::parked,
      .type = Type::text};
  if (!canvas.button("park", cell, park)) return;
  if (waits)
    out.emplace_back(flows::Event(flows::Park{domain::ParkReason::waiting_for_result, ""}));
  else
    parking_ = true;
}

void VerdictScreen::draw_reasons(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(area);
  Rect card = area.inside(size.pad_px, size.gap_px * 0.7F);
  if (can_accept_) {
    const std::string differs =
        camera_differs_.empty() ? "" : say("verdict.camera_differs", {camera_differs_});
    const float words_h = canvas.height_of(say("verdict.nothing_against"), card.w, Type::strong) +
                          size.gap_px + canvas.height_of(differs, card.w, Type::text);
    const float mark = std::min({size.huge_px * 2, card.h * 0.35F, card.h - words_h - size.pad_px});
    if (mark >= size.text_px)  // else the words need its room
      canvas.shape(Shape::conforming, card.cut_top(mark, size.pad_px).centre(), mark, Ink::good,
                   Ink::card);
    canvas.paragraph(card, say("verdict.nothing_against"), Say::card_good, Type::strong,
                     size.gap_px);
    if (differs.empty())
      return canvas.aside(
          card,
          say(flows::is_second_look(*facts.inspection->open) ? "verdict.you_decide_blind"
                                                             : "verdict.you_decide"),
          Say::card_quiet, Type::text);
    canvas.text(card, differs, Say::card, Type::strong);
    return;
  }
  const float line = canvas.line_of(Type::text);
  const bool roomy = card.h > 6 * line;
  canvas.paragraph(card, say("verdict.not_accept"), Say::card_stop,
                   roomy ? Type::strong : Type::text, roomy ? size.gap_px : 0);
  const auto room = static_cast<std::size_t>(std::max(1.0F, card.h / (line + size.gap_px * 0.3F)));
  for (std::size_t i = 0; i < reasons_.size() && i < room; ++i) {
    const bool last = i + 1 == room && reasons_.size() > room;
    const std::string words =
        last ? say("verdict.more", {std::to_string(reasons_.size() - i)}) : reasons_[i];
    Rect row = card;
    row.h = std::min(card.h, canvas.height_of(words, card.w - size.text_px * 1.4F, Type::text));
    if (row.h <= 0) break;
    card.cut_top(row.h, size.gap_px * 0.3F);
    const Rect dot = row.cut_left(size.text_px, size.gap_px * 0.5F);
    canvas.shape(Shape::nonconforming, {dot.centre().x, dot.y + line / 2}, size.text_px * 0.8F,
                 Ink::stop, Ink::card);
    canvas.text(row, words, Say::card, Type::text);
  }
}

}  // namespace lastlook::screens
