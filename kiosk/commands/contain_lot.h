// SPDX-License-Identifier: Apache-2.0
// lastlook contain --lot: the units that have a part of a lot inside, and where they are.
#pragma once

#include <cstdint>
#include <string>

#include "kiosk/commands/station_source.h"

namespace lastlook::commands {

struct LotQuestion {
  std::string lot, part;        // part: the type; empty: any
  std::int64_t doubted_us = 0;  // looks that began after it are looks again; 0: none is
};

// The command's exit code.
int contain_lot(const StationSource& source, const LotQuestion& question, const Delivery& delivery);

}  // namespace lastlook::commands
