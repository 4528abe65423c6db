// SPDX-License-Identifier: Apache-2.0
// Who is at the station, and under which revision: both change between units, or by an entry that
// says what became of the open one.
#include <fmt/format.h>

#include "kiosk/flows/case.h"
#include "kiosk/text/master_json.h"

namespace lastlook::flows {

using namespace domain;

// Signing in where another person is signed in takes the station over, and with it the open unit:
// out of the one's hands and into the other's, with every answer as it is. A second look of a look
// by the new person waits for somebody else, and so does any unit where an administrator comes.
Result<Outcome> on(const Case& at, const SignIn& event) {
  if (event.person.empty())
    return fail(Category::bad_input, "nobody was named, expected the id of a person");
  if (at.state.person == event.person && at.state.role == event.role) return Outcome{};
  for (const Bar bar : event.bars) {
    const auto until = at.lookups.allowed_until(event.person, bar);
    if (!until) return tl::unexpected(until.error());
    if (*until > at.now.wall_us) continue;
    if (bar == Bar::locked_out) return notice("sign_in_locked_out");
    return notice("sign_in_not_qualified");
  }
  const SignedIn signed_in{event.person, event.role};
  if (at.state.person.empty()) return happened(signed_in);
  if (!at.state.open) return happened(SignedOut{at.state.person}, signed_in);
  const LookOpened& opened = at.state.open->opened;
  const auto own = repeats_own_look(at, *at.state.open, event.person);
  if (!own) return tl::unexpected(own.error());
  if (*own || !may(event.role, Right::inspect)) {
    Outcome aside = happened(LookParked{opened.look, ParkReason::shift_change, ""},
                             SignedOut{at.state.person}, signed_in);
    aside.notices.push_back({"parked_at_sign_out", {name_of(opened)}});
    return aside;
  }
  Outcome outcome = happened(LookParked{opened.look, ParkReason::shift_change, ""},
                             SignedOut{at.state.person}, signed_in, LookResumed{opened.look});
  outcome.notices.push_back({"handed_over", {name_of(opened)}});
  return outcome;
}

Result<Outcome> on(const Case& at, const AllowSignIn& event) {
  if (!may(event.role, Right::settle)) return notice("needs_other_role");
  if (event.person.empty() || event.by.empty())
    return fail(Category::bad_input, "expected who may sign in, and who allows it");
  if (event.person == event.by)
    return fail(Category::refused, "nobody sets aside what stands against the own signing in");
  if (is_blank(event.why)) return fail(Category::bad_input, "expected why it is allowed");
  if (event.minutes < 1 || event.minutes > longest_allowance_min)
    return fail(Category::bad_input, fmt::format("for {} minutes, expected 1 to {}", event.minutes,
                                                 longest_allowance_min));
  return happened(SignInAllowed{event.person, event.despite, event.why,
                                at.now.wall_us + event.minutes * std::int64_t{60'000'000}});
}

Result<Outcome> on(const Case& at, const SignOut&) {
  if (at.state.person.empty()) return Outcome{};
  if (!at.state.open) return happened(SignedOut{at.state.person});
  const LookOpened& opened = at.state.open->opened;
  Outcome outcome =
      happened(LookParked{opened.look, ParkReason::shift_change, ""}, SignedOut{at.state.person});
  outcome.notices.push_back({"parked_at_sign_out", {name_of(opened)}});
  return outcome;
}

Result<Outcome> on(const Case&, const LeaveNote& event) {
  if (is_blank(event.note)) return fail(Category::bad_input, "the note says nothing");
  if (event.note.size() > longest_note)
    return fail(Category::bad_input, fmt::format("the note has {} bytes, expected at most {}",
                                                 event.note.size(), longest_note));
  return happened(HandoverNoted{event.note});
}

Result<Outcome> on(const Case& at, const AdoptMaster& event) {
  if (at.state.open)
    return fail(Category::refused,
                fmt::format("revision {} starts with the next unit, {} is still open",
                            event.master.revision, name_of(at.state.open->opened)));
  if (event.master.revision <= at.state.master.revision)
    return fail(Category::refused,
                fmt::format("revision {} is not newer than {}, which this station works under",
                            event.master.revision, at.state.master.revision));
  if (is_blank(event.approved_by))
    return fail(Category::refused, "the revision names nobody who approved it");
  const bool one_is_enough =
      event.of_plant || at.state.master.revision_approval != RevisionRule::two_people;
  if (!one_is_enough && (is_blank(event.second_person) || event.second_person == event.approved_by))
    return notice("two_people_needed");
  const auto written = text::read_new_master(event.document);
  if (!written) return tl::unexpected(written.error());
  if (*written != event.master)
    return fail(Category::bad_input, "the document does not say what the master data says");
  return happened(
      MasterAdopted{event.master.revision, event.document, event.approved_by, event.second_person});
}

}  // namespace lastlook::flows
