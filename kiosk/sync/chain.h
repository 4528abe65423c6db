// SPDX-License-Identifier: Apache-2.0
// Which entries may follow which: what every store holds a station to.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

// The entries are of one journal, each follows the one before, and each hash is that of its bytes.
// refused: which entry, and what is wrong with it.
Status check_links(std::span<const records::Entry> entries);

// The same of entries that a store has, the last of which has this hash. damaged.
Status check_kept(std::span<const records::Entry> entries, const records::Hash& last);

// The first entry may follow a head: it is head+1 and names the head's hash. refused: a gap, or a
// fork with both fingerprints.
Status check_follows(const Head& head, const records::Entry& first);

// A store has this entry of a station's journal. refused: another one, with both fingerprints.
Status check_same(PlantStore& store, const std::string& journal, const Head& station);

// The last entry of a journal that its station went on from: where another took over after a
// restore, what came after was lost to the station.
std::int64_t end_of(const KnownJournal& journal, std::span<const KnownJournal> all);

// What the first entry of a journal says of itself. refused: it is no beginning of a journal.
Result<KnownJournal> beginning_of(const records::Entry& first);

// Of entries of one journal those that a store whose head this is may add, by all rules: each
// follows the one before, what the store has already is left out once it was compared, what is left
// follows the head, and the journal may begin or go on under its station's name. Empty: it has all
// of them. refused: which entry or journal, and why, with both fingerprints where there are two.
Result<std::span<const records::Entry>> admitted(PlantStore& store, const Head& head,
                                                 std::span<const records::Entry> entries);

}  // namespace lastlook::sync
