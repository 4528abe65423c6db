// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/granting.h"

#include <fmt/format.h>

#include <array>
#include <charconv>

#include "kiosk/domain/calendar.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

struct Until {
  const char* word;
  int days;
};
constexpr std::array untils{Until{"today", 0}, Until{"week", 7}, Until{"month", 30},
                            Until{"quarter", 90}};
constexpr std::array<std::int64_t, 3> quantities{1, 10, 100};

}  // namespace

void Granting::ask(const std::string& variant, const std::vector<domain::FindingAdded>& findings) {
  leave();
  if (findings.empty()) return;
  findings_ = findings;
  grant_.variant = variant;
  if (findings.size() == 1)
    about(findings.front());
  else
    step_ = Step::finding;
}

void Granting::leave() {
  step_ = Step::none;
  grant_ = {};
  keypad_.close();
}

void Granting::about(const domain::FindingAdded& finding) {
  grant_.component = finding.component;
  grant_.defect = finding.defect;
  step_ = Step::quantity;
}

std::string Granting::kind(const Facts& facts) const {
  const domain::Master& master = facts.inspection->master;
  return (*facts.say)("verdict.finding", {component_name(master, grant_.component),
                                          defect_name(master, grant_.defect)});
}

void Granting::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  switch (step_) {
    case Step::none:
      return;
    case Step::finding:
      return ask_finding(canvas, facts);
    case Step::quantity:
      return ask_quantity(canvas, facts);
    case Step::last_day:
      return ask_last_day(canvas, facts);
    case Step::number:
      return ask_number(canvas, facts);
    case Step::authority:
      return ask_authority(canvas, facts);
    case Step::whole:
      return ask_whole(canvas, facts, out);
  }
}

// Three at most have room beside the way back; the others get a concession of their own.
void Granting::ask_finding(Canvas& canvas, const Facts& facts) {
  const text::Strings& say = *facts.say;
  const domain::Master& master = facts.inspection->master;
  std::vector<Choice> choices;
  for (const domain::FindingAdded& finding : findings_)
    choices.push_back({"grant.finding." + finding.finding,
                       {.text = component_name(master, finding.component),
                        .second = defect_name(master, finding.defect),
                        .type = Type::text}});
  choices.push_back({"grant.back", back_look(say)});
  const auto chosen = screens::ask(canvas, say("grant.which"), say("grant.which_text"), choices);
  if (!chosen) return;
  if (*chosen == findings_.size()) return leave();
  about(findings_[*chosen]);
}

void Granting::ask_quantity(Canvas& canvas, const Facts& facts) {
  const text::Strings& say = *facts.say;
  if (keypad_.is_open()) {
    const auto typed = keypad_.draw(canvas, say);
    if (!typed) return;
    std::from_chars(typed->data(), typed->data() + typed->size(), grant_.quantity);
    step_ = Step::last_day;
    return;
  }
  std::vector<Choice> choices;
  for (const std::int64_t quantity : quantities)
    choices.push_back({fmt::format("grant.quantity.{}", quantity),
                       {.text = std::to_string(quantity), .type = Type::strong}});
  choices.push_back({"grant.quantity.other", {.text = say("grant.other"), .shape = Shape::keys}});
  choices.push_back({"grant.back", back_look(say)});
  const auto chosen = screens::ask(canvas, say("grant.quantity", {kind(facts)}),
                                   say("grant.quantity_text", {grant_.variant}), choices);
  if (!chosen) return;
  if (*chosen < quantities.size()) {
    grant_.quantity = quantities[*chosen];
    step_ = Step::last_day;
  } else if (*chosen == quantities.size()) {
    keypad_.open(say("grant.quantity_type"), Keypad::For::number);
  } else {
    leave();
  }
}

void Granting::ask_last_day(Canvas& canvas, const Facts& facts) {
  const text::Strings& say = *facts.say;
  std::vector<Choice> choices;
  for (const Until& until : untils)
    choices.push_back({std::string("grant_until.") + until.word,
                       {.text = say(std::string("grant_until.") + until.word),
                        .second = domain::day_after(facts.now_us, facts.offset_min, until.days),
                        .type = Type::text}});
  choices.push_back({"grant.back", back_look(say)});
  const auto chosen = screens::ask(canvas, say("grant.last_day"), "", choices);
  if (!chosen) return;
  if (*chosen == untils.size()) return leave();
  last_day_ = domain::day_after(facts.now_us, facts.offset_min, untils[*chosen].days);
  grant_.expires_us = domain::end_of_day(last_day_, facts.offset_min).value_or(0);
  type(say("grant.number"), Keypad::For::serial, Step::number);
}

void Granting::type(const std::string& title, Keypad::For what, Step next) {
  keypad_.open(title, what);
  step_ = next;
}

void Granting::ask_number(Canvas& canvas, const Facts& facts) {
  const auto typed = keypad_.draw(canvas, *facts.say);
  if (typed) {
    grant_.number = *typed;
    type((*facts.say)("grant.authority"), Keypad::For::words, Step::authority);
  } else if (!keypad_.is_open()) {
    leave();
  }
}

void Granting::ask_authority(Canvas& canvas, const Facts& facts) {
  const auto typed = keypad_.draw(canvas, *facts.say);
  if (typed) {
    grant_.authority = *typed;
    step_ = Step::whole;
  } else if (!keypad_.is_open()) {
    leave();
  }
}

void Granting::ask_whole(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  const std::array choices{
      Choice{"grant.yes",
             {.kind = Kind::lead, .text = say("grant.yes"), .shape = Shape::conforming}},
      Choice{"grant.back", back_look(say)}};
  const auto chosen =
      screens::ask(canvas,
                   say("grant.whole", {grant_.number, std::to_string(grant_.quantity),
                                       grant_.variant, kind(facts), last_day_, grant_.authority}),
                   say("grant.whole_text"), choices);
  if (!chosen) return;
  if (*chosen == 0U)
    out.emplace_back(flows::Event(flows::GrantConcession{grant_, facts.inspection->person}));
  leave();
}

}  // namespace lastlook::screens
