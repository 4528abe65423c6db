// SPDX-License-Identifier: Apache-2.0
// Entries of a period for other programs, with what proves them.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "analytics/result.h"
#include "kiosk/records/audit.h"

namespace lastlook::records {

struct Exported {
  std::int64_t entries = 0;
};

// Writes into the new folder `target`, which appears when it is complete:
//   entries.jsonl  one entry a line; stamp and body are the stored bytes, so that hashes can be
//                  computed again
//   entries.csv    journal,seq,time,production_date,shift,actor,kind,version,body,previous,hash
//   manifest.json  station, period, first and last entry of each journal, BLAKE2b-256 of the files
// Production dates from..until, both included; empty: no restriction. Names and PINs are not in it.
// refused: target is there already; damaged: an entry whose stamp cannot be read.
Result<Exported> export_entries(const std::filesystem::path& folder, const std::string& from,
                                const std::string& until, const std::filesystem::path& target,
                                const Progress& progress = {});

}  // namespace lastlook::records
