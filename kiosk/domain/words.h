// SPDX-License-Identifier: Apache-2.0
// The words of the last look, as types. Their spelling in files and journals is to_word()'s.
#pragma once

#include <optional>
#include <string_view>

namespace lastlook::domain {

enum class Expectation { present, absent };
enum class Answer { not_answered, conforming, nonconforming };
enum class Severity { critical, major, minor };

// How a step is done. Of all but the first no camera can say anything.
enum class Manner { look, turn, touch, tug };

enum class Disposition { accept, rework, hold, scrap };

// What the camera says about a component's place. An opinion; a person decides.
enum class Opinion {
  present,    // the right component, in place
  absent,     // its place is empty
  not_right,  // something is there, but wrong or misplaced
  unsure,
};

// How a variant came to be known (the tag is one of the things inspected, so never from the tag).
enum class VariantSource { not_known, build_record, inspector };

enum class Role { inspector, supervisor, quality_engineer, administrator };

// Tests before the last look. Each result comes with the unit or is fetched by serial.
enum class UpstreamTest { dimensions, leak, fill_mass, torque_angle, functional };

// What a site lets count when a required upstream result is not at hand.
enum class AwayRule {
  local_file,        // only a result that is in this station's records
  paper_two_people,  // a stamped paper, entered by two different people
  wait,              // the unit is placed aside; a person takes it up again, never the clock
};

// What stands against a person's signing in, and can be set aside for a while.
enum class Bar {
  locked_out,     // too many wrong PINs in a row
  not_qualified,  // the eyesight test or the certificate is past its day
};

// Whose word it takes before a unit on hold may be accepted, by another look.
enum class HoldRule {
  anyone,      // whoever looks at it again
  supervisor,  // a supervisor or quality engineer releases it first
  two_people,  // the same, and a second person with the own PIN
};

// Whose word makes a new revision of the master data one that a station may adopt. The revision at
// work says it, so that none can do away with the rule by itself.
enum class RevisionRule {
  quality_engineer,
  two_people,  // and a second person who may settle what others decided, with the own PIN
};

// What a claim from the field says of the last look.
enum class ClaimVerdict {
  escaped,      // it ought to have seen the fault
  not_visible,  // it could not have seen it
};

// Whether a concession still lets a unit pass.
enum class ConcessionState { valid, expired, used_up };

enum class ParkReason { waiting_for_result, shift_change, needs_advice, other };

std::string_view to_word(Expectation value);
std::string_view to_word(Answer value);
std::string_view to_word(Severity value);
std::string_view to_word(Manner value);
std::string_view to_word(Disposition value);
std::string_view to_word(Opinion value);
std::string_view to_word(VariantSource value);
std::string_view to_word(Role value);
std::string_view to_word(UpstreamTest value);
std::string_view to_word(AwayRule value);
std::string_view to_word(HoldRule value);
std::string_view to_word(RevisionRule value);
std::string_view to_word(Bar value);
std::string_view to_word(ClaimVerdict value);
std::string_view to_word(ConcessionState value);
std::string_view to_word(ParkReason value);

// The value spelled so by to_word(), if any:  from_word<Answer>("conforming").
template <class Word>
std::optional<Word> from_word(std::string_view word);

}  // namespace lastlook::domain
