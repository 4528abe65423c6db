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
  another_ = parking_ = comparing_ = false;
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
  first_ = look.steps[step_].first == flows::AnswerFirst::due && answered_ == Answer::not_answered;
  differs_ = look.steps[step_].first == flows::AnswerFirst::differs;
  opinion_ = flows::shown_opinion(look, at_.component);
  // Where it lies gives nothing away.
  if (look.opinion)
    for (const domain::ComponentOpinion& o : look.opinion->components)
      if (o.component == at_.component && o.box.w > 0) box_ = o.box;
  samples_.clear();
  const auto& samples = facts.inspection->master.limit_samples;
  for (std::size_t i = 0; i < samples.size(); ++i)
    if (samples[i].component == at_.component) samples_.push_back(i);
  const bool found = std::any_of(look.findings.begin(), look.findings.end(),
                                 [&](const auto& f) { return f.component == at_.component; });
  ask_ = differs_ || answered_ != Answer::nonconforming ? Ask::answer
         : !defect_.empty()                             ? Ask::place
         : found && !another_                           ? Ask::finding
                                                        : Ask::defect;
}

void LookScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  if (ask_ == Ask::nothing || !facts.inspection->open) return;
  const flows::OpenLook& look = *facts.inspection->open;
  canvas.inert(parking_ || comparing_ || !withdrawing_.empty() || facts.other_tag);
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
  if (comparing_) draw_samples(canvas, facts);
  if (!withdrawing_.empty()) draw_withdraw(canvas, facts, out);
}

// The worst that still conforms beside the mildest that no longer does, as many as fit.
void LookScreen::draw_samples(Canvas& canvas, const Facts& facts) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  Rect panel = draw_panel(canvas, canvas.whole.w * 0.92F, canvas.whole.h * 0.94F);
  if (canvas.button("samples.back", panel.cut_bottom(size.touch_px, size.gap_px), back_look(say)))
    comparing_ = false;
  canvas.paragraph(panel, say("samples.title", {name_}), Say::card, Type::strong, size.gap_px);
  const std::size_t shown = std::min<std::size_t>(samples_.size(), 4);
  const auto grid = cells(panel, static_cast<int>(shown), 1, size.gap_px);
  for (std::size_t i = 0; i < shown; ++i) {
    const domain::LimitSample& sample = facts.inspection->master.limit_samples[samples_[i]];
    Rect cell = grid[i];
    Rect words = cell.cut_bottom(cell.h * 0.4F, size.gap_px);
    const SampleFacts* picture =
        samples_[i] < facts.samples.size() ? &facts.samples[samples_[i]] : nullptr;
    if (picture && picture->texture != 0)
      canvas.picture(fitted(cell, picture->aspect), picture->texture);
    else
      canvas.fill(cell, Ink::sunk, size.round_px);
    const Say ink = sample.conforming ? Say::card_good : Say::card_stop;
    Rect head = words.cut_top(canvas.line_of(Type::text), size.gap_px * 0.5F);
    canvas.shape(sample.conforming ? Shape::conforming : Shape::nonconforming,
                 head.cut_left(size.text_px, size.gap_px * 0.5F).centre(), size.text_px,
                 pair_of(ink).text, Ink::card);
    canvas.centred(head, say(sample.conforming ? "samples.good" : "samples.bad"), ink, Type::text,
                   Align::left);
    canvas.paragraph(words, defect_name(facts.inspection->master, sample.defect), Say::card,
                     Type::text, 0);
    canvas.aside(words, sample.note, Say::card_quiet, Type::text);
  }
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
  draw_samples_key(canvas, facts, lies.w > 0 ? lies : work.picture);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
}

// Under what is seen closer, or above it: never over the place itself.
void LookScreen::draw_samples_key(Canvas& canvas, const Facts& facts, const Rect& lies) {
  if (samples_.empty() || ask_ == Ask::place) return;
  const Sizes& size = canvas.size;
  const Spot at = on(lies, box_).centre();
  const float w = size.touch_px * 1.5F, h = size.touch_px, margin = size.gap_px;
  const Rect key{at.x < lies.centre().x ? lies.right() - w - margin : lies.x + margin,
                 at.y < lies.centre().y ? lies.y + margin : lies.bottom() - h - margin, w, h};
  if (canvas.button(
          "samples", key,
          {.text = (*facts.say)("samples.open"), .shape = Shape::eye, .type = Type::text}))
    comparing_ = true;
}

void LookScreen::draw_answer(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  draw_answer_buttons(canvas, facts, zone, out);
  const bool roomy = zone.h > size.touch_px * 2.4F;
  draw_name(canvas, say, zone, roomy ? Type::huge : Type::strong);
  draw_flags(canvas, facts, zone);
  // The instruction comes first, the camera gets what is left. Who looks once more knows it, and
  // what the two said needs the room; in long words on a small screen the flag says that alone.
  const float words_h =
      canvas.height_of(at_.instruction, zone.w, roomy ? Type::strong : Type::text) + size.gap_px;
  const float card_h = opinion_card_height(canvas, facts, opinion_, at_.expected, zone.w);
  const bool tell = !differs_ || words_h + card_h <= zone.h;
  if (!tell && card_h > zone.h) return;
  const Rect card =
      zone.cut_bottom(tell ? std::min(card_h, zone.h - words_h) : card_h, size.gap_px);
  if (tell) canvas.text(zone, at_.instruction, Say::body, Type::strong);
  if (first_)
    draw_answer_first(canvas, say, card);
  else if (draw_opinion_card(canvas, facts, opinion_, at_.expected, card))
    out.emplace_back(LookAgain{});
}

// With how it is done, beside it where that fits.
void LookScreen::draw_name(Canvas& canvas, const text::Strings& say, Rect& zone, Type type) {
  const Sizes& size = canvas.size;
  using domain::Manner;
  if (at_.by == Manner::look)
    return canvas.paragraph(zone, name_, Say::body, type, size.gap_px * 0.4F);
  const std::string words = say("manner." + std::string(to_word(at_.by)));
  const float mark = size.strong_px;
  const float flag_w = canvas.width_of(words, Type::text) + mark + 4 * size.gap_px;
  const bool beside = canvas.width_of(name_, type) + size.gap_px + flag_w <= zone.w;
  Rect flag;
  if (beside) {
    Rect row = zone.cut_top(canvas.line_of(type), size.gap_px * 0.6F);
    flag = row.cut_right(flag_w, size.gap_px);
    const float h = canvas.line_of(Type::text) + size.gap_px * 0.5F;
    flag = {flag.x, flag.y + (flag.h - h) / 2, flag.w, h};
    canvas.centred(row, name_, Say::body, type, Align::left);
  } else {
    canvas.paragraph(zone, name_, Say::body, type, size.gap_px * 0.4F);
    flag = zone.cut_top(canvas.line_of(Type::text) + size.gap_px * 0.5F, size.gap_px * 0.6F);
  }
  canvas.fill(flag, Ink::must, size.round_px * 0.6F);
  flag = flag.inside(size.gap_px, 0);
  const Shape shape = at_.by == Manner::turn    ? Shape::turn
                      : at_.by == Manner::touch ? Shape::touch
                                                : Shape::tug;
  canvas.shape(shape, flag.cut_left(mark, size.gap_px).centre(), mark * 0.8F, Ink::on_must,
               Ink::must);
  canvas.centred(flag, words, Say::on_must, Type::text, Align::left);
}

// What is special about this step.
void LookScreen::draw_flags(Canvas& canvas, const Facts& facts, Rect& zone) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto flag = [&](const std::string& words, Ink ground, Say on) {
    const float h = canvas.height_of(words, zone.w - 2 * size.gap_px, Type::text);
    const Rect area = zone.cut_top(h + size.gap_px * 0.5F, size.gap_px * 0.6F);
    canvas.fill(area, ground, size.round_px * 0.6F);
    canvas.centred(area.inside(size.gap_px, 0), words, on, Type::text);
  };
  if (differs_)
    flag(say(answered_ == Answer::conforming ? "look.differs_right" : "look.differs_wrong"),
         Ink::warn, Say::on_warn);
  if (at_.expected == domain::Expectation::absent)
    flag(say("look.must_be_absent", {facts.inspection->open->variant}), Ink::must, Say::on_must);
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
    answer(Answer::nonconforming, facts, out);
  if (canvas.button("answer.conforming", good,
                    {.kind = Kind::good,
                     .text = say("answer.conforming"),
                     .second = say(absent ? "answer.good_absent" : "answer.good_present"),
                     .shape = Shape::conforming,
                     .chosen = answered_ == Answer::conforming}))
    answer(Answer::conforming, facts, out);
}

void LookScreen::draw_ways_out(Canvas& canvas, const Facts& facts, const Rect& row, Requests& out) {
  const text::Strings& say = *facts.say;
  const Sizes& size = canvas.size;
  const bool decide = !facts.possible.empty();
  // Where there is no room for both, the strip of steps leads back too.
  const bool roomy = row.w >= 6 * size.touch_px;
  const bool back = step_ > 0 && (roomy || !decide);
  const auto grid = cells(row, 2 + (back ? 1 : 0) + (decide ? 1 : 0), 1, size.gap_px);
  std::size_t next = 0;
  const auto small = [&](std::string_view key, std::string_view words) {
    return canvas.button(key, grid[next++],
                         {.kind = Kind::quiet, .text = say(words), .type = Type::text});
  };
  if (small("help", "help.call")) out.emplace_back(flows::Event(flows::CallHelp{}));
  if (back && small("back", "look.back")) out.emplace_back(ReviseStep{step_ - 1});
  if (decide && small("decide", "look.decide")) out.emplace_back(DecideNow{});
  if (small("park", "look.park")) parking_ = true;
}

void LookScreen::answer(Answer answer, const Facts& facts, Requests& out) const {
  // After one more look it conforms after all: what was found is taken back with it.
  if (differs_ && answer == Answer::conforming)
    for (const domain::FindingAdded& finding : facts.inspection->open->findings)
      if (finding.component == at_.component)
        out.emplace_back(
            flows::Event(flows::WithdrawFinding{finding.finding, "conforms_after_all"}));
  // The same answer again, to a step that is shown again, changes nothing.
  if (answer == answered_ && !differs_)
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
    answer(Answer::conforming, facts, out);
  }
}

void LookScreen::draw_place(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect back = zone.cut_bottom(size.touch_px, size.gap_px);
  const float none_h = std::clamp(zone.h * 0.15F, size.touch_px, size.touch_px * 1.2F);
  const Rect none = zone.cut_bottom(none_h, size.pad_px);
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
