// SPDX-License-Identifier: Apache-2.0
// Entries read back and projected once more.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/audit.h"
#include "kiosk/records/entry.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

inline constexpr std::int64_t progress_step = 1'000;  // entries between two calls

// Projects an entry that is in a journal already.
Status project_again(Store& store, const Entry& entry);

// Makes all rows of a file again from its journals, within the caller's transaction. damaged: an
// entry does not decode, or a journal ends before the entry that was written last.
Status make_rows(JournalStore& store, const Progress& progress = {});

// refused: what who reads a plant's rows is told where another version made them.
tl::unexpected<Error> rows_of_another_version();

// Hashes of the files beside the journal that an entry names: pictures, overlays, models.
std::vector<std::string> pictures_of(const domain::Happening& happening);

// A row as one line of JSON, its table first.
std::string line_of(const Table& table, const Row& row);

}  // namespace lastlook::records
