// SPDX-License-Identifier: Apache-2.0
// The inspection of a unit as plain functions:
//
//   event + state + what the records know  --decide-->  happenings (to be made durable) or a
//   refusal state + happening                      --evolve-->  state
//
// The state is nothing but its happenings folded, so a station that was killed opens where it was:
// fold the open looks' entries again. No window, no picture, no database here.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/domain/master.h"
#include "kiosk/domain/tag_code.h"
#include "kiosk/domain/unit_record.h"

namespace lastlook::flows {

// --- what the records know ---------------------------------------------------------------------

// Answers questions about other units; the projections behind it, a table in tests.
class Lookups {
 public:
  virtual ~Lookups() = default;
  virtual Result<domain::UnitRecord> unit(
      const std::string& serial) = 0;  // empty record when never seen
  virtual Result<std::vector<domain::Concession>> concessions() = 0;
  // New ids: of a look, of a hold ticket, of a finding.
  virtual std::string new_look_id() = 0;
  virtual std::string new_ticket() = 0;
  virtual std::string new_finding_id() = 0;
};

// --- state -------------------------------------------------------------------------------------

struct StepState {
  domain::Step step;
  domain::Answer answer = domain::Answer::not_answered;
};

struct OpenLook {
  domain::LookOpened opened;
  std::string variant;  // confirmed or by the build record; empty: not known yet
  std::vector<StepState> steps;
  std::vector<domain::FindingAdded> findings;   // not the withdrawn ones
  std::optional<domain::OpinionGiven> opinion;  // the newest for this look
  std::optional<domain::LookParked> parked;
  bool disputed = false;
};

struct ClosedLook {
  std::string look, serial, ticket;
  domain::Disposition disposition = domain::Disposition::hold;
  std::int64_t closed_us = 0;
};

struct Inspection {
  domain::Master master;
  std::string person;  // empty: nobody is signed in
  domain::Role role = domain::Role::inspector;
  std::optional<OpenLook> open;
  std::vector<OpenLook> parked;    // oldest first
  std::optional<ClosedLook> last;  // the look closed last, for its verdict screen
};

// What the screen is about now. Derived, never stored.
enum class Stage { signed_out, waiting, confirm_variant, step, verdict };
Stage stage_of(const Inspection& state);

// The step that comes next: the first unanswered one, or a nonconforming one that still lacks its
// finding; nullopt: all are answered.
std::optional<std::size_t> next_step(const OpenLook& look);

// Why this look cannot be accepted now; empty: it can. One code and its subject each.
struct Obstacle {
  enum class Why {
    step_unanswered,    // subject: component
    finding_open,       // subject: component
    result_missing,     // subject: upstream test
    result_failed,      // subject: upstream test
    no_serial,          // under a hold ticket
    tag_of_other_type,  // subject: the tag's type
    disputed_serial,
    variant_unknown,
  } why;
  std::string subject;
  bool operator==(const Obstacle&) const = default;
};
std::vector<Obstacle> obstacles_to_accept(const Inspection& state, const domain::UnitRecord& unit);

// --- events ------------------------------------------------------------------------------------

struct SignIn {
  std::string person;
  domain::Role role = domain::Role::inspector;
};
struct SignOut {};
struct Scan {
  std::string code;
  bool typed = false;
};
struct NoReadableTag {};  // opens a look under a hold ticket
struct StartReturn {
  std::string code;
};  // after Notice::return_or_twin or just_closed: same unit
struct AnotherBody {
  std::string code;
};  // ... or: a second body with this serial
struct ConfirmVariant {
  std::string variant;
};
struct AnswerStep {
  std::string component;
  domain::Answer answer = domain::Answer::conforming;
  std::string opinion_shown;
};
struct AddFinding {
  std::string component, defect;
  std::optional<domain::Severity> severity;
  std::optional<domain::Place> place;
  std::string picture, note;
};
struct WithdrawFinding {
  std::string finding, why;
};
struct Park {
  domain::ParkReason reason = domain::ParkReason::other;
  std::string note;
};
struct Resume {
  std::string look;
};
struct Close {
  domain::Disposition disposition = domain::Disposition::accept;
  std::string concession;
};
struct CorrectDisposition {
  std::string look;
  domain::Disposition to = domain::Disposition::hold;
  std::string why;
};
struct LinkSerial {
  std::string look, code, why;
};
struct EnterPaperResult {
  std::string serial;
  domain::UpstreamResult result;
  std::string first_person, second_person;
};
struct GrantConcession {
  domain::ConcessionGranted grant;
};
// From the camera. tag: the serial read in that frame. A stale one (another look, another unit's
// tag, no tag) is dropped without a word in the journal.
struct OpinionArrived {
  domain::OpinionGiven opinion;
  std::string tag_serial;
};
struct AdoptMaster {
  domain::Master master;
  std::string document, approved_by;
};  // between units

using Event =
    std::variant<SignIn, SignOut, Scan, NoReadableTag, StartReturn, AnotherBody, ConfirmVariant,
                 AnswerStep, AddFinding, WithdrawFinding, Park, Resume, Close, CorrectDisposition,
                 LinkSerial, EnterPaperResult, GrantConcession, OpinionArrived, AdoptMaster>;

// --- outcome -----------------------------------------------------------------------------------

// What the person at the station must see about this event; the screen words it (text key
// "notice.<code>") with its subjects.
struct Notice {
  std::string
      code;  // "returned", "double_scan", "other_unit_open", "just_closed", "accept_refused", …
  std::vector<std::string> subjects;
};

struct Outcome {
  std::vector<domain::Happening> happenings;  // one durable transaction
  std::vector<Notice> notices;
  std::vector<Obstacle> obstacles;  // with notice "accept_refused"
};

// bad_input: the code does not read, an unknown component, …; refused: a trade rule says no.
Result<Outcome> decide(const Inspection& state, const Event& event, Lookups& lookups,
                       const domain::Reading& now);

void evolve(Inspection& state, const domain::Happening& happening, const domain::Reading& at);

}  // namespace lastlook::flows
