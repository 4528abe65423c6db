// SPDX-License-Identifier: Apache-2.0
// Reads the published check values of tests/references and compares to their printed digits.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "tests/places.h"

namespace lastlook::references {

inline nlohmann::json load(const std::string& file) {
  std::ifstream in(source_dir() + "/tests/references/" + file);
  EXPECT_TRUE(in.good()) << file;
  return nlohmann::json::parse(in);
}

// Half a unit of the last printed place.
inline double printed_tolerance(const std::string& printed) {
  const auto dot = printed.find('.');
  const auto decimals = dot == std::string::npos ? 0 : printed.size() - dot - 1;
  return 0.5000001 * std::pow(10.0, -static_cast<double>(decimals));
}

// Against the ten digits of the computed value.
inline void expect_computed(const nlohmann::json& computed, double value, const std::string& what) {
  const double expected = computed.get<double>();
  EXPECT_NEAR(value, expected, 1e-9 * std::max(1.0, std::abs(expected))) << what;
}

// Against a check: the printed digits where they reproduce, and the computed value always.
inline void expect_check(const nlohmann::json& check, double value, const std::string& what) {
  if (check.value("reproduces", true)) {
    const auto printed = check.at("published").get<std::string>();
    EXPECT_NEAR(value, std::stod(printed), printed_tolerance(printed)) << what << ", as printed";
  }
  expect_computed(check.at("computed"), value, what);
}

}  // namespace lastlook::references
