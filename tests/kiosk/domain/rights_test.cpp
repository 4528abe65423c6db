// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/rights.h"

#include <gtest/gtest.h>

#include <map>
#include <set>

namespace lastlook::domain {
namespace {

// The table of DEVELOPERS.md.
TEST(Rights, AreThoseOfTheTable) {
  const std::map<Role, std::set<Right>> table{
      {Role::inspector, {Right::inspect}},
      {Role::supervisor, {Right::inspect, Right::settle}},
      {Role::quality_engineer, {Right::inspect, Right::settle, Right::approve}},
      {Role::administrator, {Right::keep_people}}};
  for (const auto& [role, rights] : table)
    for (const Right right : {Right::inspect, Right::settle, Right::approve, Right::keep_people})
      EXPECT_EQ(may(role, right), rights.contains(right))
          << to_word(role) << ", " << static_cast<int>(right);
}

}  // namespace
}  // namespace lastlook::domain
