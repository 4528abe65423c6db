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

// The first entry may follow a head: it is head+1 and names the head's hash. refused: a gap, or a
// fork with both fingerprints.
Status check_follows(const Head& head, const records::Entry& first);

// A store has this entry of a station's journal. refused: another one, with both fingerprints.
Status check_same(PlantStore& store, const std::string& journal, const Head& station);

// Those of the entries that a store does not have yet; the others are compared with its own.
// refused: one of them differs, with both fingerprints.
Result<std::span<const records::Entry>> skip_known(PlantStore& store, const Head& head,
                                                   std::span<const records::Entry> entries);

// What the first entry of a journal says of itself. refused: it is no beginning of a journal.
Result<KnownJournal> beginning_of(const records::Entry& first);

// A journal may begin under a station's name: it is the first of that name, or follows the newest.
// refused: two stations with one name, or two restored from one backup, with both fingerprints.
Status check_beginning(const KnownJournal& begun, const records::Entry& first,
                       std::span<const KnownJournal> of_station);

// A journal may go on: no other has taken over after a restore.
Status check_not_followed(const std::string& journal, std::span<const KnownJournal> of_station);

}  // namespace lastlook::sync
