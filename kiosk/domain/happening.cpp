// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/happening.h"

#include <array>

namespace lastlook::domain {

std::string_view kind_of(const Happening& happening) {
  // In the order of the variant.
  static constexpr std::array<std::string_view, std::variant_size_v<Happening>> kinds{
      "journal_started",   "master_adopted",     "clock_jumped",
      "signed_in",         "signed_out",         "unit_built",
      "result_entered",    "look_opened",        "variant_confirmed",
      "step_answered",     "opinion_given",      "finding_added",
      "finding_withdrawn", "other_scan_seen",    "look_parked",
      "look_resumed",      "look_closed",        "disposition_corrected",
      "serial_linked",     "serial_disputed",    "concession_granted",
      "part_shown",        "part_judged",        "part_left",
      "camera_changed",    "second_look_drawn",  "model_approved",
      "study_planned",     "study_rated",        "study_ended",
      "handover_noted",    "claim_opened",       "claim_judged",
      "pictures_pruned",   "hold_released",      "parts_fitted",
      "sign_in_allowed",   "answer_first_drawn", "answered_together",
      "reaction_raised",   "reaction_settled",   "help_called",
      "help_came",         "viewing_checked"};
  return kinds[happening.index()];
}

}  // namespace lastlook::domain
