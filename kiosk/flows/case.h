// SPDX-License-Identifier: Apache-2.0
// What every decision is given, and how it answers. One on() an event; decide() picks it.
#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "kiosk/flows/inspection.h"

namespace lastlook::flows {

struct Case {
  const Inspection& state;
  Lookups& lookups;
  const domain::Reading& now;
};

// shift_change.cpp
Result<Outcome> on(const Case& at, const SignIn& event);
Result<Outcome> on(const Case& at, const AllowSignIn& event);
Result<Outcome> on(const Case& at, const SignOut& event);
Result<Outcome> on(const Case& at, const AdoptMaster& event);
// opening.cpp
Result<Outcome> on(const Case& at, const Scan& event);
Result<Outcome> on(const Case& at, const OtherTagSeen& event);
Result<Outcome> on(const Case& at, const NoReadableTag& event);
Result<Outcome> on(const Case& at, const StartReturn& event);
Result<Outcome> on(const Case& at, const AnotherBody& event);
Result<Outcome> on(const Case& at, const ConfirmVariant& event);
// answering.cpp
Result<Outcome> on(const Case& at, const AnswerStep& event);
Result<Outcome> on(const Case& at, const AddFinding& event);
Result<Outcome> on(const Case& at, const WithdrawFinding& event);
Result<Outcome> on(const Case& at, const OpinionArrived& event);
// second_look.cpp
// Opens the second look that the unit is held back for, unless this person had a hand in the first.
Outcome open_second_look(const Case& at, const domain::TagCode& tag, const domain::UnitRecord& unit,
                         bool typed);
// Whether `person` had a hand in the look that this second look repeats.
Result<bool> repeats_own_look(const Case& at, const OpenLook& look, const std::string& person);
// Adds the draw, if this look's unit is drawn, to an outcome that closes the look.
void draw_for_second_look(const Case& at, Outcome& outcome);
// opening.cpp
Outcome open_unit(const Case& at, const domain::TagCode& tag, const domain::UnitRecord& unit,
                  bool typed);
// closing.cpp
Result<Outcome> on(const Case& at, const Park& event);
Result<Outcome> on(const Case& at, const Resume& event);
Result<Outcome> on(const Case& at, const Close& event);
// correcting.cpp
Result<Outcome> on(const Case& at, const CorrectDisposition& event);
Result<Outcome> on(const Case& at, const LinkSerial& event);
// releasing.cpp
Result<Outcome> on(const Case& at, const ReleaseHold& event);
// challenge.cpp
Result<Outcome> on(const Case& at, const LeavePart& event);
Result<Outcome> on(const Case& at, const UseCamera& event);
Outcome show_part(const Case& at, const domain::ChallengePart& part);
Result<Outcome> scanned_while_shown(const Showing& open, const Result<domain::TagCode>& read);
Result<Outcome> judge_part(const Case& at, const OpinionArrived& event);
// Why this opinion is not to be shown; nullopt: nothing speaks against it.
std::optional<Outcome> without_proof(const Case& at, const std::string& variant,
                                     const std::string& model);
// approving.cpp
Result<Outcome> on(const Case& at, const ApproveModel& event);
Result<Outcome> on(const Case& at, const GoBackToModel& event);
// taking_in.cpp
Result<Outcome> on(const Case& at, const TakeResults& event);
// together.cpp
Result<Outcome> on(const Case& at, const AnswerTogether& event);
// reacting.cpp
Result<Outcome> on(const Case& at, const SettleReaction& event);
Result<Outcome> on(const Case& at, const CallHelp& event);
Result<Outcome> on(const Case& at, const HelpIsHere& event);
// Adds what the site's plans say is due, to an outcome that closes a look with findings.
Status raise_reactions(const Case& at, Outcome& outcome);
// viewing.cpp
Result<Outcome> on(const Case& at, const CheckViewing& event);
// Whether units may be looked at in this shift; no: the place has to be checked first.
Result<bool> viewing_is_good(const Case& at);
// answer_first.cpp
// Adds the draw, if steps of this variant are drawn, to an outcome that opens a look of it.
void draw_steps(const Case& at, const std::string& look, const std::string& variant,
                Outcome& outcome);
// studying.cpp
Result<Outcome> on(const Case& at, const PlanStudy& event);
Result<Outcome> on(const Case& at, const RateItem& event);
Result<Outcome> on(const Case& at, const EndStudy& event);
// claiming.cpp
Result<Outcome> on(const Case& at, const OpenClaim& event);
Result<Outcome> on(const Case& at, const JudgeClaim& event);
// keeping.cpp
Result<Outcome> on(const Case& at, const PrunePictures& event);
// shift_change.cpp
Result<Outcome> on(const Case& at, const LeaveNote& event);
// permitting.cpp
Result<Outcome> on(const Case& at, const EnterPaperResult& event);
Result<Outcome> on(const Case& at, const GrantConcession& event);

// --- how a decision answers --------------------------------------------------------------------

template <class... Kinds>
Outcome happened(Kinds... happenings) {
  Outcome outcome;
  (outcome.happenings.emplace_back(std::move(happenings)), ...);
  return outcome;
}

inline Outcome notice(std::string code, std::vector<std::string> subjects = {}) {
  Outcome outcome;
  outcome.notices.push_back({std::move(code), std::move(subjects)});
  return outcome;
}

template <class Word>
std::string word(Word value) {
  return std::string(to_word(value));
}

// What people call the unit of this look: its serial, or its ticket.
inline const std::string& name_of(const domain::LookOpened& opened) {
  return opened.serial.empty() ? opened.ticket : opened.serial;
}

inline bool has_finding(const OpenLook& look, const std::string& component) {
  return std::ranges::count(look.findings, component, &domain::FindingAdded::component) > 0;
}

// The tag is one of the things inspected: what its code says is held against the variant, never
// believed. A code that says nothing contradicts nothing.
inline bool tag_contradicts(const domain::Master& master, const std::string& tag_type,
                            const std::string& variant) {
  if (tag_type.empty() || variant.empty()) return false;
  const domain::Variant* by_tag = master.variant_of_tag_type(tag_type);
  return !by_tag || by_tag->id != variant;
}

inline bool is_blank(const std::string& text) {
  return text.find_first_not_of(" \t\r\n") == std::string::npos;
}

// Who is signed in has a role here; of another the caller knows it.
inline bool is_quality_engineer(const Case& at, const std::string& by) {
  if (is_blank(by)) return false;
  return by != at.state.person || may(at.state.role, domain::Right::approve);
}

inline tl::unexpected<Error> nothing_open() {
  return fail(Category::refused, "no unit is open");
}

}  // namespace lastlook::flows
