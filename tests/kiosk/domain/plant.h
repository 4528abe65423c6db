// SPDX-License-Identifier: Apache-2.0
// A small plant for tests: two variants, three components.
#pragma once

#include "kiosk/domain/master.h"

namespace lastlook::domain::testing {

inline Master small_plant() {
  using enum Expectation;
  Master plant;
  plant.revision = 7;
  plant.product = "coolant pump";
  plant.tag_pattern = R"(^(?:(?P<type>CP\d{3}N?)-)?(?P<serial>\d{5}-\d{5})$)";
  plant.components = {{"seal", "connector seal", {0.05, 0.3, 0.1, 0.1}},
                      {"lid", "lid", {0.2, 0.25, 0.3, 0.25}},
                      {"tag", "tag", {0.2, 0.55, 0.15, 0.12}}};
  plant.variants = {{"CP-210",
                     "with lid",
                     "A ribbed lid covers the electronics.",
                     "CP210",
                     {{"seal", present, "Orange ring, flush."},
                      {"lid", present, "Four screws."},
                      {"tag", present, "Straight."}}},
                    {"CP-210N",
                     "without lid",
                     "The electronics lie open.",
                     "CP210N",
                     {{"seal", present, "Orange ring, flush."},
                      {"lid", absent, "No lid."},
                      {"tag", present, "Straight."}}}};
  plant.defects = {
      {"missing", "missing", Severity::critical, {}, present, {}},
      {"not_wanted", "there, but not in this variant", Severity::critical, {}, absent, {}},
      {"not_seated", "not seated", Severity::major, {"seal", "lid"}, {}, {UpstreamTest::leak}},
      {"something_else", "something else", Severity::major, {}, {}, {}}};
  plant.shifts = {
      {"early", "early", 6 * 60}, {"late", "late", 14 * 60}, {"night", "night", 22 * 60}};
  plant.day_starts_with = "early";
  plant.required_results = {{UpstreamTest::leak, AwayRule::wait},
                            {UpstreamTest::functional, AwayRule::paper_two_people}};
  return plant;
}

}  // namespace lastlook::domain::testing
