// SPDX-License-Identifier: Apache-2.0
// Every code that a flow hands to a screen, with what its subjects are. A text file has for each
//   notice.<code>               with {0}, {1}, … for the subjects
//   obstacle.<why>              with {0} for the subject
//   hold_reason.<reason>        concession_reason.<reason>
// A subject that is an id or a word (component, variant, disposition, …) is worded by the screen
// before it is filled in.
#pragma once

#include <array>
#include <string_view>

#include "kiosk/flows/inspection.h"

namespace lastlook::flows {

struct NoticeKind {
  std::string_view code;
  std::array<std::string_view, 3> subjects;  // what each is; empty: no more
};

inline constexpr auto notice_kinds = std::to_array<NoticeKind>({
    // People.
    {"sign_in_first", {}},
    {"handed_over", {"unit"}},         // an open look went from one person to the next
    {"parked_at_sign_out", {"unit"}},  // an open look was placed aside
    {"needs_other_role", {}},          // a supervisor or quality engineer has to do this
    {"needs_inspector", {}},           // an administrator does not inspect
    {"sign_in_locked_out", {}},        // AllowSignIn
    {"sign_in_not_qualified", {}},     // AllowSignIn

    // A scan. "unit" is a serial, or a ticket where there is no serial.
    {"code_not_read", {"code"}},
    {"return_or_twin", {"serial", "disposition", "looks"}},  // StartReturn or AnotherBody
    {"just_closed", {"serial", "disposition"}},              // the same, but probably neither
    {"disputed_serial", {"serial"}},                         // StartReturn or AnotherBody
    {"parked", {"serial", "park_reason", "look"}},           // Resume, or AnotherBody
    {"double_scan", {"serial"}},                             // of the open unit: nothing to do
    {"other_unit_open", {"unit", "seen"}},                   // both; finish or park the first
    {"other_tag_seen", {"unit", "seen"}},                    // by the camera; both
    {"close_or_park_first", {"unit"}},
    {"variant_not_in_master", {"serial", "variant"}},  // the build record names an unknown one
    {"other_variant_tag", {"tag_type", "variant"}},    // the tag's and the unit's: hold
    {"under_ticket", {"ticket"}},                      // write it on the unit
    {"twin_of_open", {"serial"}},                      // hold this one; then scan the other body
    {"twin_held", {"serial", "ticket"}},
    {"second_look_stands", {"serial"}},    // what was said blind is not corrected
    {"second_look_closed", {"serial"}},    // scanned twice: it was closed just now
    {"second_look_by_other", {"serial"}},  // held back until another person looks at it

    // Steps and findings.
    {"one_more_look", {"component"}},        // the person and the camera differ
    {"not_together", {"component"}},         // no longer: the camera says something else by now
    {"finding_still_there", {"component"}},  // withdraw it before answering conforming

    // Closing.
    {"accept_refused", {}},  // with the obstacles
    {"finding_missing", {"component"}},
    {"hold_only", {"hold_reason"}},
    {"no_rework_under_ticket", {"ticket"}},
    {"finding_needed", {"disposition"}},  // rework, hold or scrap, but for what?
    {"concession_not_valid", {"number", "concession_reason"}},

    // The camera's proof. An opinion without it is dropped; the manual steps go on without it.
    {"proof_missing", {"variant", "shift"}},  // none in this shift yet
    {"proof_failed", {"variant"}},            // show all parts again; see to the containment
    {"proof_held", {"variant"}},
    {"part_not_met", {"serial", "components"}},  // components: separated by blanks
    {"part_open", {"serial"}},                   // a challenge part lies under the camera

    // What is done about it.
    {"reaction_due", {"defect", "times", "units"}},
    {"help_called", {}},
    {"viewing_first", {}},    // the place of the look, before units are looked at
    {"viewing_refused", {}},  // it is not as it should be: a supervisor allows it, or it is mended
    {"already_settled", {}},

    // Which model judges.
    {"needs_quality_engineer", {}},
    {"overlap_undecided", {"component"}},  // its good and bad scores overlap: go on all the same?
    {"model_in_use", {"model"}},
    {"signed_in_since", {}},            // not the one who touched it
    {"model_not_approved", {"model"}},  // another one was approved here: no opinion

    // Teaching.
    {"last_mark", {"component"}},                  // pictures without any place say nothing
    {"no_fault_there", {"component", "variant"}},  // the variant expects just that
    {"teaching_unread", {}},
    {"not_enough_pictures", {}},

    // Studies.
    {"study_over", {"title"}},       // nothing more to rate in it for this person
    {"study_waits", {"title"}},      // the next trial begins later
    {"study_item_rated", {"item"}},  // it was not this item's turn: no going back
    {"study_done", {"title"}},       // that was this person's last item

    // Corrections and permissions.
    {"accept_needs_a_look", {}},  // no correction makes an accept; the unit gets another look
    {"hold_first", {"ticket"}},   // a serial is linked once the look under the ticket is closed
    {"not_by_paper", {"upstream_test"}},    // the site does not let a paper count for this one
    {"result_at_hand", {"upstream_test"}},  // a paper stands in for a missing result only
    {"two_people_needed", {}},
    {"measured_before_rework", {"upstream_test"}},
    {"concession_granted", {"number"}},
    {"concession_number_used", {"number"}},
});

// Of LookClosed::why, and of the notice hold_only.
inline constexpr auto hold_reasons = std::to_array<std::string_view>({
    "no_tag",
    "other_variant_tag",
    "two_with_one_serial",
    "something_else",
    "finding",
    "variant_unknown",
    "result_failed",
    "result_missing",
    "not_released",
});

inline constexpr auto concession_reasons = std::to_array<std::string_view>(
    {"unknown", "expired", "used_up", "other_variant", "other_finding", "unclassified"});

std::string_view to_word(Obstacle::Why why);
inline constexpr auto obstacle_whys = std::to_array<Obstacle::Why>({
    Obstacle::Why::step_unanswered,
    Obstacle::Why::answers_differ,
    Obstacle::Why::finding_missing,
    Obstacle::Why::finding_open,
    Obstacle::Why::result_missing,
    Obstacle::Why::result_failed,
    Obstacle::Why::no_serial,
    Obstacle::Why::tag_of_other_type,
    Obstacle::Why::disputed_serial,
    Obstacle::Why::variant_unknown,
    Obstacle::Why::on_hold,
});

}  // namespace lastlook::flows
