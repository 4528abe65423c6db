// SPDX-License-Identifier: Apache-2.0
// Which pictures of a station the plant's store is to have.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/records.h"

namespace lastlook::sync {

struct CalledFor {
  std::int64_t seq = 0;  // the entry that called for it
  std::string picture;   // hash
};

// What the entries `from` to `to` (both included) of a journal call for, in their order: photos of
// findings; pictures of challenge parts; of a look that closed, where it was not a plain accept,
// where person and camera or two looks disagree, and of a share of the others (the master data's
// picture_sample, drawn by the look's id, so that asking again draws the same); of a disposition
// that was corrected, and of all looks of a unit that is disputed or claimed for. A picture may
// come more than once. damaged: an entry does not decode.
Result<std::vector<CalledFor>> pictures_called_for(records::Records& station,
                                                   const std::string& journal, std::int64_t from,
                                                   std::int64_t to);

}  // namespace lastlook::sync
