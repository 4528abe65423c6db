// SPDX-License-Identifier: Apache-2.0
// One entry and the rows before it make the rows after it; the same code for every database.
//
// What the rows mean where it is not plain:
// - Only a disposition moves counts, in the shift and quarter of an hour in which the look closed.
//   A correction takes the look's old part away and adds the new one in the same place.
// - In a plant's store, a unit that was looked at at several stations has its looks numbered by the
//   time of opening: neither station knew of the other's, and a unit has one first look. Whatever
//   order the stations' entries come in, the rows are the same at the end; a station's own entries
//   come in theirs.
// - A finding whose component and defect the unit's previous look already had is one more sighting
//   of the same finding, counted where it was first seen.
// - A ticket's serial, once known, puts its look among the unit's looks in the order of opening,
//   and they are numbered anew: a unit has one first look, whenever its serial became known.
// - A rework voids the unit's earlier results that the defects found in that look name, by the
//   revision under which the look was made.
#pragma once

#include "analytics/result.h"
#include "kiosk/domain/happening.h"
#include "kiosk/records/entry.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

// The caller has a transaction open and ends it. refused: what cannot have happened (an answer in a
// closed look, a correction of another disposition); nothing of it may be kept.
Status project(Store& store, const Entry& entry, const Stamp& stamp,
               const domain::Happening& happening);

}  // namespace lastlook::records
