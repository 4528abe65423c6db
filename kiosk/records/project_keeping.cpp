// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::PicturesPruned& it) {
  for (const std::string& picture : it.pictures)
    at.rows.put(PrunedPictureRow{picture, at.station.station, at.now_us()});
}

}  // namespace lastlook::records
