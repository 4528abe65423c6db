// SPDX-License-Identifier: Apache-2.0
// Ratings of a study from a table; of several defects at once where it has a column defect.
#pragma once

#include <string>
#include <vector>

#include "analytics/study.h"
#include "kiosk/commands/station_source.h"

namespace lastlook::commands {

struct NamedStudy {
  std::string defect;  // empty: the study as a whole
  analytics::Study study;
};

// One study; or, with a column defect, first that of the disposition (nonconforming where any
// defect was called, unsure where none was and one is unsure) and then one a defect, in order of
// appearance. Errors name file, line and column.
Result<std::vector<NamedStudy>> read_studies(const std::string& file, const std::string& good);

// The one that was rated at a kiosk. not_found: none of this id; refused: nobody has rated yet.
Result<std::vector<NamedStudy>> recorded_study(const OpenSource& source, const std::string& id);

}  // namespace lastlook::commands
