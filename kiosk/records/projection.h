// SPDX-License-Identifier: Apache-2.0
// What the parts of the projector share. Private to it: inside, a failing store throws Failed, and
// project() turns that into its result.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "kiosk/domain/happening.h"
#include "kiosk/records/entry.h"
#include "kiosk/records/tables.h"

namespace lastlook::records {

struct Failed {
  Error error;
};
[[noreturn]] void refuse(std::string why);

template <class T>
T need(Result<T> result) {
  if (!result) throw Failed{result.error()};
  return *std::move(result);
}
inline void need(const Status& status) {
  if (!status) throw Failed{status.error()};
}

class Rows {
 public:
  explicit Rows(Store& store) : store_(store) {}

  template <class T>
  std::optional<T> find(const Row& key) {
    return need(records::find<T>(store_, key));
  }
  template <class T>
  std::vector<T> all(const Row& prefix) {
    return need(records::rows<T>(store_, prefix));
  }
  template <class T>
  void put(const T& row) {
    need(records::put(store_, row));
  }
  template <class T>
  void erase(const Row& key) {
    need(records::erase<T>(store_, key));
  }

 private:
  Store& store_;
};

// The entry being applied.
struct At {
  Rows& rows;
  const Entry& entry;
  StationStateRow& station;
  const Stamp& stamp;
  std::int64_t now_us() const { return stamp.reading.wall_us; }
};

// --- project_station.cpp -----------------------------------------------------------------------
void project(At& at, const domain::JournalStarted& it);
void project(At& at, const domain::MasterAdopted& it);
void project(At& at, const domain::ClockJumped& it);
void project(At& at, const domain::SignedIn& it);
void project(At& at, const domain::SignInAllowed& it);
void project(At& at, const domain::SignedOut& it);
void project(At& at, const domain::ConcessionGranted& it);

// --- project_challenge.cpp ---------------------------------------------------------------------
void project(At& at, const domain::PartShown& it);
void project(At& at, const domain::PartJudged& it);
void project(At& at, const domain::PartLeft& it);
void project(At& at, const domain::CameraChanged& it);

// --- project_models.cpp ------------------------------------------------------------------------
void project(At& at, const domain::ModelApproved& it);

// --- project_studies.cpp -----------------------------------------------------------------------
void project(At& at, const domain::StudyPlanned& it);
void project(At& at, const domain::StudyRated& it);
void project(At& at, const domain::StudyEnded& it);

// --- project_handover.cpp ----------------------------------------------------------------------
void project(At& at, const domain::HandoverNoted& it);

// --- project_reactions.cpp ---------------------------------------------------------------------
void project(At& at, const domain::ReactionRaised& it);
void project(At& at, const domain::ReactionSettled& it);
void project(At& at, const domain::HelpCalled& it);
void project(At& at, const domain::HelpCame& it);
void project(At& at, const domain::ViewingChecked& it);

// --- project_keeping.cpp -----------------------------------------------------------------------
void project(At& at, const domain::PicturesPruned& it);

// --- project_claims.cpp ------------------------------------------------------------------------
void project(At& at, const domain::ClaimOpened& it);
void project(At& at, const domain::ClaimJudged& it);

// --- project_units.cpp -------------------------------------------------------------------------
void project(At& at, const domain::UnitBuilt& it);
void project(At& at, const domain::PartsFitted& it);
void project(At& at, const domain::ResultEntered& it);
void project(At& at, const domain::SerialLinked& it);
void project(At& at, const domain::SerialDisputed& it);

// --- project_looks.cpp -------------------------------------------------------------------------
void project(At& at, const domain::LookOpened& it);
void project(At& at, const domain::VariantConfirmed& it);
void project(At& at, const domain::StepAnswered& it);
void project(At& at, const domain::AnswerFirstDrawn& it);
void project(At& at, const domain::AnsweredTogether& it);
void project(At& at, const domain::OpinionGiven& it);
void project(At& at, const domain::FindingAdded& it);
void project(At& at, const domain::FindingWithdrawn& it);
void project(At& at, const domain::OtherScanSeen& it);
void project(At& at, const domain::LookParked& it);
void project(At& at, const domain::LookResumed& it);
void project(At& at, const domain::LookClosed& it);
void project(At& at, const domain::DispositionCorrected& it);
void project(At& at, const domain::HoldReleased& it);

// --- project_second_looks.cpp ------------------------------------------------------------------
void project(At& at, const domain::SecondLookDrawn& it);
void open_second_look(At& at, const LookRow& second);
void decide_second_look(At& at, const LookRow& second);  // at its close, or corrected
// Accepted, rejected at the second look, and nobody has settled it since: not by a correction, and
// not by the unit's next look.
bool looks_differ(Rows& rows, const SecondLookRow& row);
bool hold_is_released(Rows& rows, const LookRow& look);  // of a look on hold

LookRow look_row(Rows& rows, const std::string& look);  // refuses when there is none
// Keeps the entry among those that open the look again after a restart.
void remember_for(At& at, const std::string& look);
UnitRow unit_row(Rows& rows, const std::string& serial);  // a new one when it was never seen
// Of a unit, by number, without second looks.
std::vector<LookRow> looks_of(Rows& rows, const std::string& serial);

// Puts the look among the waiting units or takes it out, as its state now is.
void settle_waiting(Rows& rows, const LookRow& look);
// The same of all looks of a unit, second looks too: after what one of them means for the others.
void settle_unit(Rows& rows, const std::string& serial);

// --- counts.cpp --------------------------------------------------------------------------------

// Adds (by = 1) or takes away (by = -1) what a closed look contributes to the counts.
void move_counts(Rows& rows, const LookRow& look, std::int64_t by);

// Says of each finding of a closed look which look saw it first. `previous`: the unit's look
// before.
void settle_sightings(Rows& rows, const LookRow& look, const LookRow* previous);

// Changes something about a unit's looks with their counts right before and after: takes away what
// they contribute, lets `change` work on them, settles sightings in the order they then have,
// writes the rows and adds it again.
void recount(Rows& rows, std::vector<LookRow> looks,
             const std::function<void(std::vector<LookRow>&)>& change);

// A unit's looks as the clock has them, numbered from 1: what a unit that was at several stations
// needs, which knew nothing of each other's looks when they numbered theirs.
void order_by_opening(std::vector<LookRow>& looks);
bool at_several_stations(const std::vector<LookRow>& looks);

// Says of each upstream result of a unit which rework voided it, if any.
void settle_voids(Rows& rows, const std::string& serial);

}  // namespace lastlook::records
