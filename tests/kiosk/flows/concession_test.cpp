// SPDX-License-Identifier: Apache-2.0
// A concession is a named, limited permission (ISO 9000:2015, 3.12.5): by number, variant, finding,
// quantity and time.
#include "kiosk/flows/concession.h"

namespace lastlook::flows {
namespace {

using namespace domain;

Concession granted(const std::string& number = "C-1") {
  return {{number, "board", "CP-210", "seal", "not_seated", 2, 1000}, 0};
}

FindingAdded found(const std::string& component, const std::string& defect) {
  FindingAdded finding;
  finding.component = component;
  finding.defect = defect;
  return finding;
}

const std::vector<FindingAdded> seal_finding = {found("seal", "not_seated")};

TEST(ConcessionRule, ItCoversWhatItNamesUntilItExpires) {
  EXPECT_EQ(lacks({granted()}, "C-1", "CP-210", seal_finding, 999), std::nullopt);
  EXPECT_EQ(lacks({granted()}, "C-1", "CP-210", seal_finding, 1000), "expired");
}

TEST(ConcessionRule, EveryLimitHolds) {
  Concession used = granted();
  used.used = 2;
  EXPECT_EQ(lacks({used}, "C-1", "CP-210", seal_finding, 0), "used_up");
  EXPECT_EQ(lacks({}, "C-1", "CP-210", seal_finding, 0), "unknown");
  EXPECT_EQ(lacks({granted()}, "C-2", "CP-210", seal_finding, 0), "unknown");
  EXPECT_EQ(lacks({granted()}, "C-1", "CP-210N", seal_finding, 0), "other_variant");
  EXPECT_EQ(lacks({granted()}, "C-1", "CP-210", {found("seal", "missing")}, 0), "other_finding");
  EXPECT_EQ(lacks({granted()}, "C-1", "CP-210", {found("lid", "not_seated")}, 0), "other_finding");
}

TEST(ConcessionRule, WhatIsNotClassifiedIsNotConceded) {
  Concession wide = granted();
  wide.grant.defect = something_else;
  EXPECT_EQ(lacks({wide}, "C-1", "CP-210", {found("seal", something_else)}, 0), "unclassified");
}

TEST(ConcessionRule, EachFindingHasToBeCovered) {
  const std::vector<FindingAdded> two = {found("seal", "not_seated"), found("lid", "missing")};
  EXPECT_EQ(lacks({granted()}, "C-1", "CP-210", two, 0), "other_finding");
  Concession other = granted();
  other.grant.component = "lid";
  other.grant.defect = "missing";
  EXPECT_EQ(lacks({granted(), other}, "C-1", "CP-210", two, 0), std::nullopt);
}

}  // namespace
}  // namespace lastlook::flows
