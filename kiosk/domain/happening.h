// SPDX-License-Identifier: Apache-2.0
// Everything that can happen at a station and is worth keeping: one struct a kind of journal entry.
// A happening is a fact; nothing here is ever changed or deleted, only followed by others.
//
// To add a kind: a struct here, its name in kind_of(), its fields in records/codec.cpp, what it
// does to the tables in records/projector.cpp, a golden entry in tests/kiosk/records.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "kiosk/domain/master.h"
#include "kiosk/domain/words.h"

namespace lastlook::domain {

// --- the station -------------------------------------------------------------------------------

struct JournalStarted {
  std::string station;        // "LL-1"
  std::string program;        // version that wrote it
  std::string after_journal;  // the journal this one follows after a restore; empty: none
  std::int64_t after_seq = 0;
  std::string after_hash;  // hex
  bool operator==(const JournalStarted&) const = default;
};

struct MasterAdopted {
  std::int64_t revision = 0;
  std::string document;  // the master data as JSON text, whole
  std::string approved_by;
  std::string second_person{};  // where the revision before it wanted two; empty: one was enough
  bool operator==(const MasterAdopted&) const = default;
};

struct ClockJumped {
  std::int64_t by_us = 0;  // wall time moved against the forward clock, microseconds
  bool operator==(const ClockJumped&) const = default;
};

// --- people ------------------------------------------------------------------------------------

struct SignedIn {
  std::string person;  // pseudonymous id; names stay outside the journal
  Role role = Role::inspector;
  bool operator==(const SignedIn&) const = default;
};

struct SignedOut {
  std::string person;
  bool operator==(const SignedOut&) const = default;
};

// Somebody may sign in for a limited time although something stands against it. By a supervisor.
struct SignInAllowed {
  std::string person;
  Bar despite = Bar::locked_out;
  std::string why;
  std::int64_t until_us = 0;  // wall time
  bool operator==(const SignInAllowed&) const = default;
};

// --- what came before the last look ------------------------------------------------------------

struct UpstreamResult {
  UpstreamTest test = UpstreamTest::functional;
  bool passed = false;
  std::string value;             // as the tester printed it, with its unit: "1.82 kg"
  std::int64_t measured_us = 0;  // when, wall time
  bool operator==(const UpstreamResult&) const = default;
};

// The build record of a unit: its variant by the order, and the results it came with.
struct UnitBuilt {
  std::string serial;
  std::string variant;
  std::vector<UpstreamResult> results;
  std::string made{};  // the day on which it was made, "2026-11-25"; empty: not said
  bool operator==(const UnitBuilt&) const = default;
};

// A part inside a unit, by its type and its lot (or its own number).
struct FittedPart {
  std::string part, lot;
  bool operator==(const FittedPart&) const = default;
};

// What a build record or a repair says is inside a unit. Of a type that it names, what was named
// before is no longer in it.
struct PartsFitted {
  std::string serial;
  std::vector<FittedPart> parts;
  bool operator==(const PartsFitted&) const = default;
};

// A later result, from the tester or (on_paper) from a stamped paper entered by two people.
struct ResultEntered {
  std::string serial;
  UpstreamResult result;
  bool on_paper = false;
  std::string first_person, second_person;  // on paper: two different ones
  bool operator==(const ResultEntered&) const = default;
};

// --- a look ------------------------------------------------------------------------------------

struct LookOpened {
  std::string look;         // id, unique over all stations
  std::string serial;       // empty: no readable tag, the look runs under its ticket
  std::string ticket;       // hold ticket; empty: the unit has a serial
  std::string code;         // what was read, whole; empty under a ticket
  bool typed = false;       // by hand, not by the scanner
  std::string tag_type;     // of the code; empty: it did not say
  std::int64_t number = 1;  // 1: first look; 0: under a ticket, not known yet
  std::string variant;      // empty: the inspector confirms it from the body next
  VariantSource variant_source = VariantSource::not_known;
  std::int64_t revision = 0;  // of the master data, checklist included
  // A blind second look: the look that it repeats, whose number it has. Empty: an ordinary one.
  std::string second_of{};
  bool operator==(const LookOpened&) const = default;
};

struct VariantConfirmed {
  std::string look, variant;
  bool operator==(const VariantConfirmed&) const = default;
};

struct StepAnswered {
  std::string look, component;
  Answer answer = Answer::not_answered;
  Answer before = Answer::not_answered;  // not not_answered: this is a correction of that answer
  std::string opinion_shown;             // to_word(Opinion) on the screen at the time; empty: none
  bool operator==(const StepAnswered&) const = default;
};

// These steps were drawn: the person answers them before the camera's opinion shows. Each was
// drawn because a number from the system's generator was below `rate`.
struct AnswerFirstDrawn {
  std::string look;
  std::vector<std::string> components;
  double rate = 0.0;  // above 0, at most 1
  bool operator==(const AnswerFirstDrawn&) const = default;
};

// One touch for all of these, which were shown together, each with an opinion that it conforms.
struct AnsweredTogether {
  std::string look;
  std::vector<std::string> components;
  std::vector<std::string> opinions_shown;  // to_word(Opinion), in the same order
  bool operator==(const AnsweredTogether&) const = default;
};

// The camera's opinion about one component, with what it rests on.
struct ComponentOpinion {
  std::string component;
  Opinion opinion = Opinion::unsure;
  std::string conforming;  // "yes", "no", "unsure" against what the variant expects
  double score = 0.0;      // estimated probability of conforming, 0 to 1
  std::string reason;      // a reason code, not a sentence
  double reason_value = 0.0;
  Box box;  // where it was looked at, fractions of the picture
  bool operator==(const ComponentOpinion&) const = default;
};

struct OpinionGiven {
  std::string look;
  std::int64_t frame = 0;  // which picture of the camera
  std::string model;       // id of the model that judged
  std::string picture;     // hash of the picture if it was kept
  std::vector<ComponentOpinion> components;
  std::string overlay{};  // hash of the map of where it differs from what was taught; empty: none
  bool operator==(const OpinionGiven&) const = default;
};

struct FindingAdded {
  std::string look;
  std::string finding;  // id, unique within the journal
  std::string component, defect;
  Severity severity = Severity::major;
  std::optional<Place> place;
  std::string picture;  // hash of a photo; empty: none
  std::string note;
  bool operator==(const FindingAdded&) const = default;
};

// A finding taken back: an entry that names what it corrects, by whom (the entry's actor) and why.
struct FindingWithdrawn {
  std::string look, finding, why;
  bool operator==(const FindingWithdrawn&) const = default;
};

// Another code was scanned while a look was open; it changed nothing.
struct OtherScanSeen {
  std::string look, open_serial, seen_code;
  bool operator==(const OtherScanSeen&) const = default;
};

struct LookParked {
  std::string look;
  ParkReason reason = ParkReason::other;
  std::string note;
  bool operator==(const LookParked&) const = default;
};

struct LookResumed {
  std::string look;
  bool operator==(const LookResumed&) const = default;
};

struct LookClosed {
  std::string look;
  Disposition disposition = Disposition::hold;
  std::string why;  // for a hold: no_tag, other_variant_tag, two_with_one_serial, something_else, …
  std::string concession;  // number, if it took one to accept
  bool operator==(const LookClosed&) const = default;
};

// The unit of a look just closed was drawn for a blind second look and is held back for it. It was
// drawn because `number`, from the system's generator, is below `rate`, which the master data of
// the look's revision names for this disposition; so 1 / rate is what the unit stands for.
struct SecondLookDrawn {
  std::string look;
  Disposition disposition = Disposition::accept;  // as it was decided
  double rate = 0.0;                              // above 0, at most 1
  double number = 0.0;                            // 0 to below 1
  bool operator==(const SecondLookDrawn&) const = default;
};

// A closed look's disposition corrected later; counts move in the look's own shift.
struct DispositionCorrected {
  std::string look;
  std::int64_t corrects_seq = 0;  // the entry it corrects
  Disposition from = Disposition::accept, to = Disposition::hold;
  std::string why;
  bool operator==(const DispositionCorrected&) const = default;
};

// The look of a unit on hold no longer stands in the way of an accept, by another look. By the
// entry's actor and, where the site wants two, a second person.
struct HoldReleased {
  std::string look, serial, why;
  std::string second_person;  // empty: none was asked for
  bool operator==(const HoldReleased&) const = default;
};

// The serial of a unit that was looked at under a ticket became known.
struct SerialLinked {
  std::string look, ticket, serial, why;
  bool operator==(const SerialLinked&) const = default;
};

// Two bodies carry one serial: every look of it is on hold until a person has sorted it out.
struct SerialDisputed {
  std::string serial, look, other_look;
  bool operator==(const SerialDisputed&) const = default;
};

// --- challenge ---------------------------------------------------------------------------------
// The proof, each shift, that the camera's opinions can be relied on: units with known faults are
// judged as any other. They are no looks and never count as production.

// A challenge part was scanned and lies under the camera.
struct PartShown {
  std::string showing;  // id, unique over all stations
  std::string part;     // its serial
  std::string variant;
  bool operator==(const PartShown&) const = default;
};

struct PartJudged {
  std::string showing, part, variant;
  std::string production_date, shift;  // what it proves
  std::int64_t frame = 0;
  std::string model;
  std::string picture;  // hash of the picture if it was kept
  std::vector<ComponentOpinion> components;
  std::vector<std::string>
      unmet;              // where the opinion is not what this part must get; empty: passed
  std::string proof;      // of this shift, variant and model, with this part: "begun",
                          // "held", "failed"
  std::string overlay{};  // as in OpinionGiven
  bool operator==(const PartJudged&) const = default;
};

// Taken away without an opinion: it proves nothing, and fails nothing.
struct PartLeft {
  std::string showing, part, why;
  bool operator==(const PartLeft&) const = default;
};

// Another camera, or the same one mounted anew: what was proved before no longer holds.
struct CameraChanged {
  std::string camera;  // by its stable name
  bool operator==(const CameraChanged&) const = default;
};

// --- teaching ----------------------------------------------------------------------------------

// How far apart a component's good and bad pictures are, each judged by a model not taught on its
// light. Scores are estimated probabilities of being right, 0 to 1.
struct TaughtGap {
  std::string component;
  double worst_good = 0.0;
  double best_bad = 0.0;
  bool made_up = false;           // no bad one was photographed: faults were made up from good ones
  bool overlap_accepted = false;  // best_bad is not below worst_good; the entry's actor said go on
  bool operator==(const TaughtGap&) const = default;
};

// From now on this model judges at the station, and no other: newly taught, or (with why) one that
// judged here before.
struct ModelApproved {
  std::string model;                // id
  std::string file;                 // hash of its file, which lies with the pictures
  std::string before, before_file;  // the one that judged until then; empty: none
  std::string product;
  std::vector<std::string> variants;  // that it was taught
  std::int64_t pictures = 0;          // it was taught on; 0: not known here
  std::vector<TaughtGap> gaps;
  std::string why;  // of going back to an earlier one; empty: newly taught
  bool operator==(const ModelApproved&) const = default;
};

// --- studies -----------------------------------------------------------------------------------
// How far inspectors agree: items that are rated blind, each by each inspector, several times.

// What was given to be rated: a unit under a masked number, or a picture.
struct StudyItem {
  std::string label;      // as it is marked: "07"; it says nothing about the item
  std::string reference;  // what the panel found, one of the ratings; empty: not decided
  std::string picture;    // hash, with the pictures; empty: the unit itself is looked at
  bool operator==(const StudyItem&) const = default;
};

struct StudyPlanned {
  std::string study;  // id, unique over all stations
  std::string title;
  std::vector<StudyItem> items;
  std::vector<std::string> inspectors;  // pseudonymous ids
  std::vector<std::string> panel;       // who decided the references; none is an inspector
  std::vector<std::string> ratings;     // words, the first means conforming
  std::int64_t trials = 2;
  std::int64_t gap_min = 0;  // minutes at least between an inspector's trials
  std::int64_t seed = 0;     // of the orders in which items are shown
  bool operator==(const StudyPlanned&) const = default;
};

// The entry's actor rated an item.
struct StudyRated {
  std::string study, person;
  std::int64_t trial = 1;
  std::string item, rating;
  bool operator==(const StudyRated&) const = default;
};

// Nothing more is rated in it.
struct StudyEnded {
  std::string study, why;
  bool operator==(const StudyEnded&) const = default;
};

// --- handover ----------------------------------------------------------------------------------

// What the entry's actor wants the next shift to know, in their own words.
struct HandoverNoted {
  std::string note;
  bool operator==(const HandoverNoted&) const = default;
};

// --- what is done about it ---------------------------------------------------------------------

// The same defect came so often among the last units that the site's reaction plan is due.
struct ReactionRaised {
  std::string reaction;  // id, unique over all stations
  std::string plan, defect, component;
  std::int64_t times = 0, in_units = 0;  // found in so many of so many
  std::vector<std::string> looks;        // in which it was found
  bool operator==(const ReactionRaised&) const = default;
};

// What was found and done, by the entry's actor.
struct ReactionSettled {
  std::string reaction, why;
  bool operator==(const ReactionSettled&) const = default;
};

struct HelpCalled {
  std::string help;  // id, unique over all stations
  std::string look;  // the open one; empty: none
  bool operator==(const HelpCalled&) const = default;
};

struct HelpCame {
  std::string help;
  bool operator==(const HelpCame&) const = default;
};

// Of the place where units are looked at, in this shift.
struct ViewingChecked {
  bool lamp = false;     // clean, steady, no glare
  std::int64_t lux = 0;  // measured where the unit lies; 0: not measured
  bool distance = false;
  std::string
      allowed_by;  // who let it pass although something is not as it should be; empty: it is
  bool operator==(const ViewingChecked&) const = default;
};

// --- claims ------------------------------------------------------------------------------------
// A unit that was sold came back: what its user says, and what it says of the last look.

struct ClaimOpened {
  std::string claim;  // its number, as the plant gave it
  std::string serial;
  std::string reported;   // the day on which the fault was reported, "2026-11-25"
  std::string complaint;  // in the words of who reported it
  bool operator==(const ClaimOpened&) const = default;
};

// A later judgement of the same claim stands in the place of the earlier one.
struct ClaimJudged {
  std::string claim, serial;
  ClaimVerdict verdict = ClaimVerdict::not_visible;
  std::string component, defect;  // of the fault, as in a finding; empty: none of the catalogue
  std::string why;
  bool operator==(const ClaimJudged&) const = default;
};

// --- keeping -----------------------------------------------------------------------------------

// The bytes of these pictures were taken away to make room, by the rule that nothing in their looks
// was in doubt; the entries that name them stay as they are.
struct PicturesPruned {
  std::string before;                 // production date: of looks before it
  std::vector<std::string> pictures;  // hashes
  bool operator==(const PicturesPruned&) const = default;
};

// --- permissions -------------------------------------------------------------------------------

struct ConcessionGranted {
  std::string number, authority, variant, component, defect;
  std::int64_t quantity = 0;    // units it may still be used for
  std::int64_t expires_us = 0;  // wall time
  bool operator==(const ConcessionGranted&) const = default;
};

using Happening =
    std::variant<JournalStarted, MasterAdopted, ClockJumped, SignedIn, SignedOut, UnitBuilt,
                 ResultEntered, LookOpened, VariantConfirmed, StepAnswered, OpinionGiven,
                 FindingAdded, FindingWithdrawn, OtherScanSeen, LookParked, LookResumed, LookClosed,
                 DispositionCorrected, SerialLinked, SerialDisputed, ConcessionGranted, PartShown,
                 PartJudged, PartLeft, CameraChanged, SecondLookDrawn, ModelApproved, StudyPlanned,
                 StudyRated, StudyEnded, HandoverNoted, ClaimOpened, ClaimJudged, PicturesPruned,
                 HoldReleased, PartsFitted, SignInAllowed, AnswerFirstDrawn, AnsweredTogether,
                 ReactionRaised, ReactionSettled, HelpCalled, HelpCame, ViewingChecked>;

// The kind's name in the journal: "look_opened".
std::string_view kind_of(const Happening& happening);

}  // namespace lastlook::domain
