// SPDX-License-Identifier: Apache-2.0
// The projected tables: one struct a row, its columns named once, in row_fields.h. The migrations
// in sql/ create them; a test compares the two.
//
// Counts (count_look, count_defect) are moved by dispositions only; everything else follows every
// entry. A plant's store keeps many stations' rows in the same tables: what only one station knows
// has the station or a look's id in its key, and what a unit's looks have in common is the same in
// whatever order the journals came. Words are stored as domain::to_word() spells them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kiosk/domain/words.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

// The state of a journal; its head says where the journal ended when it was last written.
struct StationStateRow {
  static constexpr std::string_view table = "station_state";
  static constexpr std::size_t key_columns = 1;
  std::string journal;
  std::string station;
  std::int64_t generation = 0;  // how many journals came before this one in the file
  std::int64_t seq = 0;         // of the last entry
  std::string hash;             // of the last entry, hex
  std::int64_t master_revision = 0;
  std::int64_t signed_seq = 0;  // the newest sign-in or sign-out; 0: none in this journal
  std::int64_t wall_us = 0;     // of the last entry: what the rows are "as of"
  int offset_min = 0;
};

// From when on a station's clock had which offset from UTC: its first entry, and each that has
// another one than the entry before it.
struct LocalTimeRow {
  static constexpr std::string_view table = "local_time";
  static constexpr std::size_t key_columns = 3;
  std::string station;
  std::int64_t generation = 0, seq = 0;
  std::int64_t since_us = 0;
  int offset_min = 0;
};

// By station: two that hold other documents under one revision are not mixed up.
struct MasterRow {
  static constexpr std::string_view table = "master";
  static constexpr std::size_t key_columns = 2;
  std::string station;
  std::int64_t revision = 0;
  std::string approved_by;
  std::string document;
  std::string journal;  // with seq: the entry that adopted it last
  std::int64_t generation = 0, seq = 0;
};

struct UnitRow {
  static constexpr std::string_view table = "unit";
  static constexpr std::size_t key_columns = 1;
  std::string serial;
  bool disputed = false;
};

// What a unit was built as, by the build record that a station had last.
struct UnitBuildRow {
  static constexpr std::string_view table = "unit_build";
  static constexpr std::size_t key_columns = 2;
  std::string serial, station;
  std::string variant;
  std::int64_t built_us = 0;  // when the record came
  std::string made;           // the day; empty: it does not say
};

// A part that is inside a unit, or was.
struct UnitPartRow {
  static constexpr std::string_view table = "unit_part";
  static constexpr std::size_t key_columns = 4;
  std::string serial, station;
  std::string part, lot;
  std::int64_t fitted_us = 0;    // when the record of it came
  std::int64_t replaced_us = 0;  // when that of another came in its place; 0: it is in there
};

struct UnitLookRow {
  static constexpr std::string_view table = "unit_look";
  static constexpr std::size_t key_columns = 2;
  std::string serial, look;
};

struct UpstreamResultRow {
  static constexpr std::string_view table = "upstream_result";
  static constexpr std::size_t key_columns = 3;
  std::string serial, station;
  std::int64_t nth = 0;  // from 1, in the order of arrival at that station
  domain::UpstreamTest test = domain::UpstreamTest::functional;
  bool passed = false;
  std::string value;
  std::int64_t measured_us = 0;  // 0: it did not say
  std::int64_t arrived_us = 0;
  bool on_paper = false;
  std::string first_person, second_person;
  std::string voided_by;  // the look whose rework voided it; empty: it counts
};

struct LookRow {
  static constexpr std::string_view table = "look";
  static constexpr std::size_t key_columns = 1;
  std::string look;
  std::string journal, station;
  std::string serial, ticket;
  std::int64_t number = 0;
  std::string variant;
  domain::VariantSource variant_source = domain::VariantSource::not_known;
  std::string tag_type;
  std::int64_t revision = 0;
  std::string state = "open";  // open, parked, closed
  std::int64_t opened_us = 0, parked_us = 0, closed_us = 0;
  std::string park_reason;
  std::optional<domain::Disposition> disposition;
  std::string why, concession, closed_by;
  std::int64_t closed_seq = 0;         // the entry that closed it, or corrected it last
  std::string production_date, shift;  // where its disposition counts: at the close
  std::int64_t quarter = 0;
  std::string second_of;  // a blind second look, in no count: the look that it repeats
};

// A look drawn for a blind second look, and what came of it. Never part of production counts.
struct SecondLookRow {
  static constexpr std::string_view table = "second_look";
  static constexpr std::size_t key_columns = 2;
  std::string serial, look;  // the first look
  std::string station, variant;
  std::string production_date, shift;  // of the first look's close
  double rate = 0.0, number = 0.0;
  domain::Disposition first = domain::Disposition::accept;  // when it was drawn
  std::string first_by;
  std::int64_t drawn_us = 0;
  std::string state = "waiting";  // waiting, open, done
  std::string second_look;        // its look; empty: not opened yet
  std::optional<domain::Disposition> second;
  std::string second_by;
  std::int64_t done_us = 0;
};

// A disposition that was corrected; the look itself has what it was corrected to.
struct CorrectionRow {
  static constexpr std::string_view table = "correction";
  static constexpr std::size_t key_columns = 2;
  std::string look;
  std::int64_t nth = 0;  // from 1
  domain::Disposition before = domain::Disposition::hold, after = domain::Disposition::hold;
  std::string why_before, why, person;
  std::int64_t corrected_us = 0;
};

// An entry of a look that is not closed; gone when it closes.
struct OpenLookEntryRow {
  static constexpr std::string_view table = "open_look_entry";
  static constexpr std::size_t key_columns = 3;
  std::string look;
  std::int64_t generation = 0, seq = 0;
  std::string journal;
};

// A unit that is parked or on hold now.
struct WaitingRow {
  static constexpr std::string_view table = "waiting";
  static constexpr std::size_t key_columns = 1;
  std::string look;
  std::string serial, ticket, variant, why;
  bool parked = false;
  std::int64_t since_us = 0;
};

struct StepAnswerRow {
  static constexpr std::string_view table = "step_answer";
  static constexpr std::size_t key_columns = 2;
  std::string look, component;
  domain::Answer answer = domain::Answer::not_answered;
  domain::Answer first_answer = domain::Answer::not_answered;  // before any correction
  std::string opinion_shown;                                   // with the first answer
  std::int64_t corrections = 0;
  std::string person;  // of the newest
  std::int64_t answered_us = 0;
  bool drawn = false;     // to be answered before the camera's opinion showed
  bool together = false;  // first answered with others, by one touch
};

struct FindingRow {
  static constexpr std::string_view table = "finding";
  static constexpr std::size_t key_columns = 2;
  std::string look, finding;
  std::string component, defect;
  domain::Severity severity = domain::Severity::major;
  std::optional<double> place_x, place_y;
  std::string picture, note, person;
  std::int64_t found_us = 0;
  bool withdrawn = false;
  std::string withdrawn_why;
  // The look that saw it first: a finding still there at the unit's next look is a sighting more of
  // the same one, and counts where it was first seen. Set when the look closes.
  std::string first_look;
};

struct OpinionRow {
  static constexpr std::string_view table = "opinion";
  static constexpr std::size_t key_columns = 2;
  std::string look, component;
  domain::Opinion opinion = domain::Opinion::unsure;
  std::string conforming;
  double score = 0.0;
  std::string reason;
  double reason_value = 0.0;
  double x = 0.0, y = 0.0, w = 0.0, h = 0.0;
  std::int64_t frame = 0;
  std::string model, picture;
  std::int64_t given_us = 0;
};

// When a model's opinion was first given at a station, on a look of production.
struct FirstOpinionRow {
  static constexpr std::string_view table = "first_opinion";
  static constexpr std::size_t key_columns = 3;
  std::string station, variant, model;
  std::int64_t given_us = 0;
};

// A station counts what it granted itself.
struct ConcessionRow {
  static constexpr std::string_view table = "concession";
  static constexpr std::size_t key_columns = 2;
  std::string station, number;
  std::string authority, variant, component, defect;
  std::int64_t quantity = 0, expires_us = 0;
  std::int64_t used = 0;
};

// A challenge part under the camera, and what came of it.
struct ShowingRow {
  static constexpr std::string_view table = "showing";
  static constexpr std::size_t key_columns = 1;
  std::string showing;
  std::string journal, station, part, variant;
  std::string state = "open";  // open, judged, left
  std::int64_t shown_us = 0, ended_us = 0;
  std::string shown_by, why_left;
  std::string production_date, shift;
  std::string model, picture;
  std::string proof;       // of this shift, variant and model, as it then stood
  std::int64_t unmet = 0;  // components whose opinion was not what it must be
};

struct ShowingOpinionRow {
  static constexpr std::string_view table = "showing_opinion";
  static constexpr std::size_t key_columns = 2;
  std::string showing, component;
  domain::Opinion opinion = domain::Opinion::unsure;
  std::string conforming;
  double score = 0.0;
  std::string reason;
  double reason_value = 0.0;
  bool met = false;
};

// An entry that tells which proofs hold now: of the newest shift, and since the camera changed.
struct ProofEntryRow {
  static constexpr std::string_view table = "proof_entry";
  static constexpr std::size_t key_columns = 3;
  std::string station;
  std::int64_t generation = 0, seq = 0;
  std::string journal;
  std::string production_date, shift;  // empty: of the camera, whatever the shift
};

// Where the approval of a model for this station stands; the newest says which one judges.
struct ApprovedModelRow {
  static constexpr std::string_view table = "approved_model";
  static constexpr std::size_t key_columns = 3;
  std::string station;
  std::int64_t generation = 0, seq = 0;
  std::string journal;
};

// A journal that waits, in a plant's rows, before an entry that cannot be projected.
struct StoppedRow {
  static constexpr std::string_view table = "stopped";
  static constexpr std::size_t key_columns = 1;
  std::string journal, station;
  std::int64_t seq = 0;      // of the entry
  std::int64_t entries = 0;  // left out: this one and those after it, when it was tried last
  std::string why;
  bool operator==(const StoppedRow&) const = default;
};

// An agreement study, with its whole plan as the journal has it.
struct StudyRow {
  static constexpr std::string_view table = "study";
  static constexpr std::size_t key_columns = 1;
  std::string study;
  std::string station;
  std::string plan;  // JSON: the body of its entry, in the newest form
  std::string planned_by;
  std::int64_t planned_us = 0;
  std::int64_t rated = 0;     // how many ratings were given
  std::int64_t ended_us = 0;  // 0: nobody has ended it
  std::string why_ended;
  std::int64_t wanted = 0;  // how many ratings it takes
};

struct StudyRatingRow {
  static constexpr std::string_view table = "study_rating";
  static constexpr std::size_t key_columns = 2;
  std::string study;
  std::int64_t nth = 0;  // as they were given
  std::string person;
  std::int64_t trial = 1;
  std::string item, rating;
  std::int64_t rated_us = 0;
};

// What one shift wrote for the next.
struct HandoverNoteRow {
  static constexpr std::string_view table = "handover_note";
  static constexpr std::size_t key_columns = 5;
  std::string production_date, shift, station;  // in which it was written
  std::string journal;
  std::int64_t seq = 0;  // of its entry
  std::int64_t noted_us = 0;
  std::string note;
};

// That a defect came too often, and what came of it.
struct ReactionRow {
  static constexpr std::string_view table = "reaction";
  static constexpr std::size_t key_columns = 1;
  std::string reaction;
  std::string station, production_date, shift;  // in which it was raised
  std::string plan, defect, component;
  std::int64_t times = 0, in_units = 0;
  std::int64_t raised_us = 0;
  std::int64_t settled_us = 0;  // 0: not yet
  std::string settled_by, why;
};

struct HelpCallRow {
  static constexpr std::string_view table = "help_call";
  static constexpr std::size_t key_columns = 1;
  std::string help;
  std::string station, production_date, shift;
  std::string look;
  std::int64_t called_us = 0;
  std::int64_t came_us = 0;  // 0: nobody yet
};

// What was found of the place of the look, in a shift.
struct ViewingCheckRow {
  static constexpr std::string_view table = "viewing_check";
  static constexpr std::size_t key_columns = 5;
  std::string production_date, shift, station;
  std::string journal;
  std::int64_t seq = 0;  // of its entry
  bool lamp = false;
  std::int64_t lux = 0;
  bool distance = false;
  std::string allowed_by;
  std::int64_t checked_us = 0;
};

// A claim from the field, as it was entered at one station, with its newest judgement.
struct ClaimRow {
  static constexpr std::string_view table = "claim";
  static constexpr std::size_t key_columns = 3;
  std::string serial, claim, station;
  std::string reported, complaint;
  std::int64_t opened_us = 0;
  std::optional<domain::ClaimVerdict> verdict;  // none: not judged yet
  std::string component, defect, why;
  std::int64_t judged_us = 0;
};

// A look on hold that no longer stands in the way of an accept, as it was released last.
struct HoldReleaseRow {
  static constexpr std::string_view table = "hold_release";
  static constexpr std::size_t key_columns = 1;
  std::string look;
  std::string serial, station;
  std::int64_t released_us = 0;
  std::string person, second_person, why;
};

// Who may sign in although something stands against it, as it was allowed last.
struct SignInAllowanceRow {
  static constexpr std::string_view table = "sign_in_allowance";
  static constexpr std::size_t key_columns = 3;
  std::string station, person;
  domain::Bar despite = domain::Bar::locked_out;
  std::string allowed_by, why;
  std::int64_t allowed_us = 0, until_us = 0;
};

// A picture whose bytes were taken away to make room.
struct PrunedPictureRow {
  static constexpr std::string_view table = "pruned_picture";
  static constexpr std::size_t key_columns = 2;
  std::string picture, station;
  std::int64_t pruned_us = 0;
};

struct CountLookRow {
  static constexpr std::string_view table = "count_look";
  static constexpr std::size_t key_columns = 5;
  std::string production_date, shift;
  std::int64_t quarter = 0;
  std::string station, variant;
  std::int64_t looks = 0, first_looks = 0, first_pass = 0;
  std::int64_t accept = 0, rework = 0, hold = 0, scrap = 0;
};

struct CountDefectRow {
  static constexpr std::string_view table = "count_defect";
  static constexpr std::size_t key_columns = 8;
  std::string production_date, shift;
  std::int64_t quarter = 0;
  std::string station, variant, component, defect;
  domain::Severity severity = domain::Severity::major;
  std::int64_t findings = 0;  // each once, where it was first seen
  std::int64_t units = 0;     // first looks with at least one of it
};

// Every projected table, in an order that never changes.
const std::vector<const Table*>& all_tables();

template <class T>
const Table& table_of();

// Typed reading and writing; T is one of the rows above.
template <class T>
Result<std::optional<T>> find(Store& store, const Row& key);
template <class T>
Status put(Store& store, const T& row);
template <class T>
Status erase(Store& store, const Row& key);
template <class T>
Result<std::vector<T>> rows(Store& store, const Row& prefix);

}  // namespace lastlook::records
