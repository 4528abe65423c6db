// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/look.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "kiosk/screens/modal.h"
#include "kiosk/screens/opinion_card.h"
#include "kiosk/screens/step_strip.h"
#include "kiosk/screens/unit_picture.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

using domain::Answer;

void LookScreen::enter() {
  defect_.clear();
  withdrawing_.clear();
  another_ = parking_ = false;
  pager_.reset();
}

void LookScreen::update(const Facts& facts) {
  ask_ = Ask::nothing;
  opinion_ = nullptr;
  if (!facts.inspection->open) return;
  const flows::OpenLook& look = *facts.inspection->open;
  const auto next = facts.revised_step ? facts.revised_step : flows::next_step(look);
  if (!next || *next >= look.steps.size()) return;
  const domain::Step before = at_;
  step_ = *next;
  at_ = look.steps[step_].step;
  answered_ = look.steps[step_].answer;
  if (before.component != at_.component) enter();
  name_ = component_name(facts.inspection->master, at_.component);
  const domain::Component* component = facts.inspection->master.component(at_.component);
  box_ = component ? component->box : domain::Box{};
  if (look.opinion)
    for (const domain::ComponentOpinion& o : look.opinion->components)
      if (o.component == at_.component) opinion_ = &o;
  if (opinion_ && opinion_->box.w > 0) box_ = opinion_->box;
  const bool found = std::any_of(look.findings.begin(), look.findings.end(),
                                 [&](const auto& f) { return f.component == at_.component; });
  ask_ = answered_ != Answer::nonconforming ? Ask::answer
         : !defect_.empty()                 ? Ask::place
         : found && !another_               ? Ask::finding
                                            : Ask::defect;
}

void LookScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  if (ask_ == Ask::nothing || !facts.inspection->open) return;
  const flows::OpenLook& look = *facts.inspection->open;
  canvas.inert(parking_ || !withdrawing_.empty() || facts.other_tag);
  const Rect body = draw_head(
      canvas, facts, unit_name(look.opened),
      say("look.head_step", {look.variant, look_number(say, look.opened), std::to_string(step_ + 1),
                             std::to_string(look.steps.size())}));
  const Work work = work_areas(canvas, body, step_strip_height(canvas));
  draw_picture(canvas, facts, work, out);
  if (const auto touched = draw_step_strip(canvas, look, step_, work.strip))
    out.emplace_back(ReviseStep{*touched});
  switch (ask_) {
    case Ask::defect:
      draw_defects(canvas, facts, work.zone, out);
      break;
    case Ask::place:
      draw_place(canvas, facts, work.zone, out);
      break;
    case Ask::finding:
      draw_findings(canvas, facts, work.zone, out);
      break;
    default:
      draw_answer(canvas, facts, work.zone, out);
  }
  canvas.inert(false);
  if (facts.other_tag) return ask_other_tag(canvas, facts, out);
  if (parking_) draw_park(canvas, facts, out);
  if (!withdrawing_.empty()) draw_withdraw(canvas, facts, out);
}

void LookScreen::draw_picture(Canvas& canvas, const Facts& facts, const Work& work, Requests& out) {
  const bool placing = ask_ == Ask::place;
  const Rect lies = draw_camera(canvas, facts, work.picture);
  if (lies.w > 0) {
    draw_where(canvas, facts, lies, box_, !placing, opinion_ && opinion_->conforming != "yes");
    draw_finding_marks(canvas, facts.inspection->open->findings, lies);
    if (placing)
      if (const auto at = canvas.target_at("picture", lies))
        add_finding(domain::Place{(at->x - lies.x) / lies.w, (at->y - lies.y) / lies.h}, out);
  }
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
}

void LookScreen::draw_answer(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  draw_answer_buttons(canvas, facts, zone, out);
  const bool roomy = zone.h > size.touch_px * 2.4F;
  canvas.paragraph(zone, name_, Say::body, roomy ? Type::huge : Type::strong, size.gap_px * 0.4F);
  if (at_.expected == domain::Expectation::absent) {
    const Rect flag =
        zone.cut_top(canvas.line_of(Type::text) + size.gap_px * 0.5F, size.gap_px * 0.6F);
    canvas.fill(flag, Ink::must, size.round_px * 0.6F);
    canvas.centred(flag.inside(size.gap_px, 0),
                   say("look.must_be_absent", {facts.inspection->open->variant}), Say::on_must,
                   Type::text);
  }
  // The instruction comes first, the camera gets what is left.
  const float words_h =
      canvas.height_of(at_.instruction, zone.w, roomy ? Type::strong : Type::text);
  const Rect card = zone.cut_bottom(
      std::min(opinion_card_height(canvas), zone.h - words_h - size.gap_px), size.gap_px);
  canvas.text(zone, at_.instruction, Say::body, Type::strong);
  if (draw_opinion_card(canvas, facts, opinion_, at_.expected, card)) out.emplace_back(LookAgain{});
}

void LookScreen::draw_answer_buttons(Canvas& canvas, const Facts& facts, Rect& zone,
                                     Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const bool absent = at_.expected == domain::Expectation::absent;
  const float answer_h = std::clamp(zone.h * 0.19F, size.touch_px, size.touch_px * 1.35F);
  draw_ways_out(canvas, facts, zone.cut_bottom(size.touch_px, size.pad_px), out);
  const Rect good = zone.cut_bottom(answer_h, size.gap_px);
  const Rect bad = zone.cut_bottom(answer_h, size.pad_px);
  if (canvas.button("answer.nonconforming", bad,
                    {.kind = Kind::warn,
                     .text = say("answer.nonconforming"),
                     .second = say(absent ? "answer.bad_absent" : "answer.bad_present"),
                     .shape = Shape::nonconforming}))
    answer(Answer::nonconforming, out);
  if (canvas.button("answer.conforming", good,
                    {.kind = Kind::good,
                     .text = say("answer.conforming"),
                     .second = say(absent ? "answer.good_absent" : "answer.good_present"),
                     .shape = Shape::conforming,
                     .chosen = answered_ == Answer::conforming}))
    answer(Answer::conforming, out);
}

void LookScreen::draw_ways_out(Canvas& canvas, const Facts& facts, const Rect& row, Requests& out) {
  const text::Strings& say = *facts.say;
  const bool decide = !facts.possible.empty();
  const auto grid = cells(row, decide ? 3 : 2, 1, canvas.size.gap_px);
  const auto small = [&](std::string_view key, const Rect& cell, std::string_view words) {
    return canvas.button(key, cell, {.kind = Kind::quiet, .text = say(words), .type = Type::text});
  };
  if (step_ > 0 && small("back", grid[0], "look.back")) out.emplace_back(ReviseStep{step_ - 1});
  if (decide && small("decide", grid[1], "look.decide")) out.emplace_back(DecideNow{});
  if (small("park", grid.back(), "look.park")) parking_ = true;
}

void LookScreen::answer(Answer answer, Requests& out) const {
  // The same answer again, to a step that is shown again, changes nothing.
  if (answer == answered_)
    out.emplace_back(GoOn{});
  else
    out.emplace_back(flows::Event(
        flows::AnswerStep{at_.component, answer,
                          opinion_ ? std::string(to_word(opinion_->opinion)) : std::string()}));
}

void LookScreen::draw_defects(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect foot = zone.cut_bottom(size.touch_px, size.pad_px);
  canvas.paragraph(zone, say("defect.title"), Say::quiet, Type::text, 0);
  canvas.paragraph(zone, name_, Say::body, Type::strong, size.gap_px);
  const auto defects = facts.inspection->master.defects_at(at_.component, at_.expected);
  pager_.draw(canvas, say, "defects.more", zone, defects.size(), 2, size.touch_px,
              size.touch_px * 1.25F, [&](std::size_t i, const Rect& cell) {
                const domain::Defect& defect = *defects[i];
                const ButtonLook tile{
                    .text = defect.name,
                    .second = say(fmt::format("severity.{}", to_word(defect.severity))),
                    .type = Type::text};
                if (canvas.button("defect." + defect.id, cell, tile)) {
                  defect_ = defect.id;
                  ask_ = Ask::place;
                }
              });
  const ButtonLook conforms{.kind = Kind::quiet,
                            .text = say(another_ ? "defect.no_other" : "defect.conforms"),
                            .shape = Shape::back,
                            .type = Type::text};
  if (!canvas.button("defect.back", foot, conforms)) return;
  if (another_) {
    another_ = false;
    ask_ = Ask::finding;
  } else {
    answer(Answer::conforming, out);
  }
}

void LookScreen::draw_place(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect back = zone.cut_bottom(size.touch_px, size.gap_px);
  const Rect none = zone.cut_bottom(size.touch_px, size.pad_px);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  const float mark = std::min(size.huge_px * 1.7F, card.h * 0.3F);
  draw_sign(canvas, card, Shape::place, mark);
  const bool picture = facts.camera.texture != 0;
  canvas.paragraph(card, say(picture ? "place.title" : "place.no_picture"), Say::card_lead,
                   Type::huge, size.gap_px);
  canvas.text(card, say("place.of", {name_, defect_name(facts.inspection->master, defect_)}),
              Say::card, Type::strong);
  if (canvas.button("place.none", none,
                    {.text = say("place.none"), .second = say("place.none_second")}))
    add_finding(std::nullopt, out);
  if (canvas.button("place.back", back,
                    {.kind = Kind::quiet,
                     .text = say("place.back"),
                     .shape = Shape::back,
                     .type = Type::text})) {
    defect_.clear();
    ask_ = Ask::defect;
  }
}

void LookScreen::add_finding(std::optional<domain::Place> place, Requests& out) {
  out.emplace_back(
      flows::Event(flows::AddFinding{at_.component, defect_, std::nullopt, place, "", ""}));
  defect_.clear();
  another_ = false;
}

void LookScreen::draw_findings(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto foot =
      cells(zone.cut_bottom(2 * size.touch_px + size.gap_px, size.pad_px), 1, 2, size.gap_px);
  canvas.paragraph(zone, say("finding.title"), Say::quiet, Type::text, 0);
  canvas.paragraph(zone, name_, Say::body, Type::strong, size.gap_px);
  std::vector<const domain::FindingAdded*> here;
  for (const domain::FindingAdded& f : facts.inspection->open->findings)
    if (f.component == at_.component) here.push_back(&f);
  pager_.draw(canvas, say, "findings.more", zone, here.size(), 1, size.touch_px,
              size.touch_px * 1.2F, [&](std::size_t i, const Rect& cell) {
                const ButtonLook tile{
                    .text = defect_name(facts.inspection->master, here[i]->defect),
                    .second = say("finding.take_back"),
                    .shape = Shape::nonconforming};
                if (canvas.button("withdraw." + here[i]->finding, cell, tile))
                  withdrawing_ = here[i]->finding;
              });
  if (canvas.button("finding.another", foot[0], {.text = say("finding.another")})) {
    another_ = true;
    ask_ = Ask::defect;
  }
  if (canvas.button("finding.go_on", foot[1], {.kind = Kind::lead, .text = say("finding.go_on")}))
    out.emplace_back(GoOn{});
}

void LookScreen::draw_withdraw(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  constexpr std::array whys{"touched_wrongly", "conforms_after_all", "other_defect"};
  std::vector<Choice> choices;
  for (const std::string why : whys)
    choices.push_back(
        {"withdraw_why." + why, {.text = say("withdraw." + why), .type = Type::text}});
  choices.push_back({"withdraw_why.back", back_look(say)});
  const auto chosen =
      ask(canvas, say("withdraw_finding.title"), say("withdraw_finding.text"), choices);
  if (!chosen) return;
  if (*chosen < whys.size())
    out.emplace_back(flows::Event(flows::WithdrawFinding{withdrawing_, whys[*chosen]}));
  withdrawing_.clear();
}

void LookScreen::draw_park(Canvas& canvas, const Facts& facts, Requests& out) {
  if (const auto event = ask_park(canvas, *facts.say, parking_)) out.emplace_back(*event);
}

}  // namespace lastlook::screens
