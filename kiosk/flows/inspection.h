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
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "kiosk/domain/approved_model.h"
#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/domain/master.h"
#include "kiosk/domain/reaction.h"
#include "kiosk/domain/rights.h"
#include "kiosk/domain/study.h"
#include "kiosk/domain/tag_code.h"
#include "kiosk/domain/unit_record.h"
#include "kiosk/flows/challenge.h"

namespace lastlook::flows {

// --- what the records know ---------------------------------------------------------------------

// Answers questions about other units; the projections behind it, a table in tests.
class Lookups {
 public:
  virtual ~Lookups() = default;
  // An empty record when it was never seen.
  virtual Result<domain::UnitRecord> unit(const std::string& serial) = 0;
  // A look by its id, open or closed, under a serial or a ticket; nullopt: there is none.
  virtual Result<std::optional<domain::PastLook>> look(const std::string& look) = 0;
  // All that were granted, expired ones too: a person is told why one does not help.
  virtual Result<std::vector<domain::Concession>> concessions() = 0;
  // Every approval of a model at this station, the newest first.
  virtual Result<std::vector<domain::ApprovedModel>> approved_models() = 0;
  // nullopt: there is none of this id.
  virtual Result<std::optional<domain::StudyRecord>> study(const std::string& study) = 0;
  // Wall time up to which this person may sign in in spite of the bar; 0: that was never allowed.
  virtual Result<std::int64_t> allowed_until(const std::string& person, domain::Bar bar) = 0;
  // This station's looks that were closed last, from a production date on, the newest first.
  virtual Result<std::vector<domain::ClosedWithFindings>> last_looks(const std::string& from_date,
                                                                     std::int64_t at_most) = 0;
  // Of this station: raised since then, the newest first; not settled yet, whenever raised.
  virtual Result<std::vector<domain::Reaction>> reactions_since(std::int64_t from_us) = 0;
  virtual Result<std::vector<domain::Reaction>> open_reactions() = 0;
  // The call for help at this station that nobody has answered.
  virtual Result<std::optional<domain::HelpCall>> open_help() = 0;
  // What was found of the place of the look in a shift at this station, in that order.
  virtual Result<std::vector<domain::ViewingCheck>> viewing_checks(const std::string& date,
                                                                   const std::string& shift) = 0;
  // New ids: of a look, of a hold ticket, of a finding.
  virtual std::string new_look_id() = 0;
  virtual Result<std::string> new_ticket() = 0;
  virtual std::string new_finding_id() = 0;
  // A number from 0 to below 1, each as likely as any other, that nobody can foresee: what draws
  // units for second looks.
  virtual double draw() = 0;
};

// --- state -------------------------------------------------------------------------------------

// A step that is answered before the camera's opinion shows. Where the two differ the person is
// asked for one more look, once, and both answers stay on record.
enum class AnswerFirst { no, due, differs, done };

struct StepState {
  domain::Step step;
  domain::Answer answer = domain::Answer::not_answered;
  AnswerFirst first = AnswerFirst::no;
  bool operator==(const StepState&) const = default;
};

struct OpenLook {
  domain::LookOpened opened;
  domain::Master master;  // as it was when the look opened; a later revision does not touch it
  std::string variant;    // confirmed or by the build record; empty: not known yet
  std::vector<StepState> steps;
  std::vector<domain::FindingAdded> findings;   // not the withdrawn ones
  std::optional<domain::OpinionGiven> opinion;  // the newest for this look; of a second look none
  // The newest for a second look: for the records, and shown to nobody.
  std::optional<domain::OpinionGiven> unseen_opinion;
  std::optional<domain::LookParked> parked;
  bool disputed = false;
  bool operator==(const OpenLook&) const = default;
};

// A blind second look: no history, no earlier answers and no opinion are shown, the upstream
// results are left to the first look, and it counts nowhere as production.
inline bool is_second_look(const OpenLook& look) {
  return !look.opened.second_of.empty();
}

struct ClosedLook {
  std::string look, serial, ticket;
  domain::Disposition disposition = domain::Disposition::hold;
  std::int64_t closed_us = 0;
  std::string why, concession;  // of the closing entry
  std::string person;           // who closed it
  bool is_second = false;       // it was a second look
  bool held_back = false;       // its unit was drawn for one
  bool operator==(const ClosedLook&) const = default;
};

struct Inspection {
  domain::Master master;
  std::string person;  // empty: nobody is signed in
  domain::Role role = domain::Role::inspector;
  std::optional<OpenLook> open;
  std::vector<OpenLook> parked;    // oldest first
  std::optional<ClosedLook> last;  // closed last since this person signed in: "what to do with it"
  Challenge challenge;
  // Approved last: opinions of any other are dropped. None: any model may judge here.
  std::optional<domain::ModelApproved> model;
  bool operator==(const Inspection&) const = default;
};

// What the screen is about now. Derived, never stored. challenge: a challenge part lies under the
// camera and waits for its opinion, which closes it, or for LeavePart. verdict: every step has its
// answer and a person decides; once that is done the stage is `waiting` and `last` says what was
// decided.
enum class Stage { signed_out, waiting, confirm_variant, step, verdict, challenge };
Stage stage_of(const Inspection& state);

// The step that comes next: what was begun is finished first, which is a nonconforming one that
// lacks its finding or one that asks for one more look; else the first unanswered one, those that
// may be answered together last. nullopt: all are answered.
std::optional<std::size_t> next_step(const OpenLook& look);

// The unanswered steps that one touch may answer, where the camera calls them right and the site
// allows it: only looked at, and not answered first. Empty where that is fewer than two.
std::vector<std::size_t> together_steps(const OpenLook& look);

// What the newest opinion that may be shown says of a component; nullptr: nothing, or it may not be
// shown yet.
const domain::ComponentOpinion* shown_opinion(const OpenLook& look, const std::string& component);

// Why this look cannot be accepted now; empty: it can. One code and its subject each.
struct Obstacle {
  enum class Why {
    step_unanswered,    // subject: component
    answers_differ,     // subject: component; the person and the camera, one more look is due
    finding_missing,    // subject: component, answered nonconforming without a finding
    finding_open,       // subject: component
    result_missing,     // subject: upstream test
    result_failed,      // subject: upstream test
    no_serial,          // under a hold ticket
    tag_of_other_type,  // subject: the tag's type
    disputed_serial,
    variant_unknown,
    on_hold,  // subject: serial; by an earlier look, and nobody released it
  } why;
  std::string subject;
  bool operator==(const Obstacle&) const = default;
};
// unit: the record of the open look's serial. Empty too when no look is open.
std::vector<Obstacle> obstacles_to_accept(const Inspection& state, const domain::UnitRecord& unit);

// Why the open look is a hold and nothing else (hold_reasons in notices.h); nullopt: it is not.
std::optional<std::string_view> hold_only_reason(const Inspection& state,
                                                 const domain::UnitRecord& unit);

// The closed look that keeps this unit on hold: its last one that is no second look, unless it was
// released; nullptr: none does.
const domain::PastLook* held_by(const domain::UnitRecord& unit);

// What a person may decide about the open look now, without a concession. Empty: none is open, or
// a nonconforming answer still lacks its finding.
std::vector<domain::Disposition> possible_dispositions(const Inspection& state,
                                                       const domain::UnitRecord& unit);

// --- events ------------------------------------------------------------------------------------

// Given only once the PIN was right (sign_in.h). Over another person: the open unit is handed over.
struct SignIn {
  std::string person;
  domain::Role role = domain::Role::inspector;
  std::vector<domain::Bar> bars{};  // what stands against it
};
// For at most longest_allowance_min. By a supervisor or quality engineer, whose PIN was right, for
// somebody else; nobody need be signed in.
struct AllowSignIn {
  std::string person;
  domain::Bar despite = domain::Bar::locked_out;
  std::string why;
  int minutes = 0;
  std::string by;
  domain::Role role = domain::Role::inspector;  // of `by`
};
inline constexpr int longest_allowance_min = 12 * 60;  // a long shift
struct SignOut {};                                     // parks the open unit
struct Scan {
  std::string code;
  bool typed = false;
};
// Opens a look under a hold ticket. It ends on hold, or with a finding in scrap; never in accept or
// rework.
struct NoReadableTag {};
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
  std::string opinion_shown{};
};
// All of these conform; each was shown with an opinion that it does.
struct AnswerTogether {
  std::vector<std::string> components;
};
struct AddFinding {
  std::string component, defect;
  std::optional<domain::Severity> severity{};  // not given: the catalogue's
  std::optional<domain::Place> place{};
  std::string picture{}, note{};
};
struct WithdrawFinding {
  std::string finding, why;
};
struct Park {
  domain::ParkReason reason = domain::ParkReason::other;
  std::string note{};
};
struct Resume {
  std::string look;
};
struct Close {
  domain::Disposition disposition = domain::Disposition::accept;
  std::string concession{};
};
// Never to accept. By a supervisor or quality engineer; by the inspector who closed it while it is
// the look closed last, unless it is on hold.
struct CorrectDisposition {
  std::string look;
  domain::Disposition to = domain::Disposition::hold;
  std::string why;
};
// Of the look that keeps its unit on hold: what stood against an accept is settled, another look
// decides. By a supervisor or quality engineer; where the site wants two people, with a second one
// whose PIN was right (releasing.cpp).
struct ReleaseHold {
  std::string look, why, second_person{};
};
// Of a look under a ticket, once it is closed. By a supervisor or quality engineer.
struct LinkSerial {
  std::string look, code, why;
};
// Where the site lets a paper count and no result is at hand; one of the two is signed in.
struct EnterPaperResult {
  std::string serial;
  domain::UpstreamResult result;
  std::string first_person, second_person;
};
// From testers and the order system, for any units, whatever is open: what is known already is left
// out, nothing is decided by it (taking_in.cpp).
struct TakeResults {
  std::vector<domain::UnitBuilt> built;
  std::vector<domain::ResultEntered> results;
  std::vector<domain::PartsFitted> fitted{};
};
// By a quality engineer, as with PlanStudy, on the authority that the grant names.
struct GrantConcession {
  domain::ConcessionGranted grant;
  std::string by;
};
// From the camera. tag: the serial read in that frame. A stale one (another look, another unit's
// tag, no tag) is dropped without a word in the journal, and so is one that lacks its proof where
// the plant wants it, and one of another model than the one approved here. opinion.look: the open
// look, or the showing of the open challenge part.
struct OpinionArrived {
  domain::OpinionGiven opinion;
  std::string tag_serial;
};
// From the camera: the tag of another unit lies in its view while a look is open. It changes
// nothing, is on record, and a person is shown both.
struct OtherTagSeen {
  std::string look, code;
};
// Between units. of_plant: it was approved at the plant's office, under the rule that holds there.
struct AdoptMaster {
  domain::Master master;
  std::string document, approved_by, second_person{};
  bool of_plant = false;
};
// The challenge part under the camera is taken away without an opinion.
struct LeavePart {
  std::string why;
};
// Between units, by a quality engineer (approving.h). The model's file is with the pictures
// already; `before` is filled in where one was approved here.
struct ApproveModel {
  domain::ModelApproved approval;
  std::string by;  // who touched it: nobody else's name stands under it
};
// To a model that judged here before. Its file was found whole, and holding that model.
struct GoBackToModel {
  std::string model, why, by;
};
// By a quality engineer: whoever is signed in, or (as with AdoptMaster) whoever the caller has let
// prove it (studying.cpp).
struct PlanStudy {
  domain::StudyPlanned plan;
  std::string by;
};
// By one of its inspectors, between units: the item whose turn it is, and no other.
struct RateItem {
  std::string study, item, rating;
};
struct EndStudy {
  std::string study, why, by;
};
// By a quality engineer, as with PlanStudy (claiming.cpp).
struct OpenClaim {
  domain::ClaimOpened claim;
  std::string by;
};
struct JudgeClaim {
  domain::ClaimJudged verdict;
  std::string by;
};
// By a quality engineer, as with PlanStudy: of a caller that takes the bytes away afterwards
// (keeping.cpp).
struct PrunePictures {
  domain::PicturesPruned pruned;
  std::string by;
};
// For the next shift, by whoever is signed in.
struct LeaveNote {
  std::string note;  // at most longest_note bytes
};
inline constexpr std::size_t longest_note = 400;
// By a supervisor or quality engineer: what was found and done about a defect that came too often.
struct SettleReaction {
  std::string reaction, why;
};
struct CallHelp {};
struct HelpIsHere {};  // whoever came, or was thought to be needed
// Of the place of the look, as whoever is signed in found it. Where it is not as it should be units
// are looked at only if a supervisor or quality engineer, whose PIN was right, allows it.
struct CheckViewing {
  bool lamp = false;
  std::int64_t lux = 0;  // 0: not measured
  bool distance = false;
  std::string allowed_by{};
  domain::Role role = domain::Role::inspector;  // of allowed_by
};
// Which camera the opinions come from, by its stable name; said at each start and when it changes.
struct UseCamera {
  std::string camera;
};

using Event =
    std::variant<SignIn, AllowSignIn, SignOut, Scan, NoReadableTag, StartReturn, AnotherBody,
                 ConfirmVariant, AnswerStep, AddFinding, WithdrawFinding, Park, Resume, Close,
                 CorrectDisposition, ReleaseHold, LinkSerial, EnterPaperResult, GrantConcession,
                 OpinionArrived, OtherTagSeen, AdoptMaster, LeavePart, UseCamera, ApproveModel,
                 GoBackToModel, PlanStudy, RateItem, EndStudy, TakeResults, LeaveNote, OpenClaim,
                 JudgeClaim, PrunePictures, AnswerTogether, SettleReaction, CallHelp, HelpIsHere,
                 CheckViewing>;

// --- outcome -----------------------------------------------------------------------------------

// What the person at the station must see about this event; the screen words it (text key
// "notice.<code>") with its subjects. Codes and what their subjects are: notices.h.
struct Notice {
  std::string code;
  std::vector<std::string> subjects;
  bool operator==(const Notice&) const = default;
};

struct Outcome {
  std::vector<domain::Happening> happenings;  // one durable transaction
  std::vector<Notice> notices;
  std::vector<Obstacle> obstacles;  // with notice "accept_refused"
};

// What a person meets in ordinary work (a code that does not read, an accept with something open)
// is an outcome with a notice and no happening. Errors are for what a screen never offers:
// bad_input, an unknown component or a place off the picture; refused, answering when no look is
// open; else what a lookup said.
Result<Outcome> decide(const Inspection& state, const Event& event, Lookups& lookups,
                       const domain::Reading& now);

void evolve(Inspection& state, const domain::Happening& happening, const domain::Reading& at);

}  // namespace lastlook::flows
