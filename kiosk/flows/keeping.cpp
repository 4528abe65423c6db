// SPDX-License-Identifier: Apache-2.0
// What is kept no longer.
#include "kiosk/flows/case.h"

namespace lastlook::flows {

Result<Outcome> on(const Case& at, const PrunePictures& event) {
  if (!is_quality_engineer(at, event.by)) return notice("needs_quality_engineer");
  if (event.pruned.pictures.empty())
    return fail(Category::bad_input, "expected at least one picture to be taken away");
  return happened(event.pruned);
}

}  // namespace lastlook::flows
