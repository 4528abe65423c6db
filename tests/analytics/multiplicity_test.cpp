// SPDX-License-Identifier: Apache-2.0
#include "analytics/multiplicity.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

using testing::DoubleNear;
using testing::Pointwise;

const std::vector<double> kRaw = {0.01, 0.04, 0.03, 0.005, 0.5};

// statsmodels 0.13.5: multipletests(p, method='holm') and 'fdr_bh'.
TEST(Multiplicity, HolmAndBenjaminiHochberg) {
  EXPECT_THAT(holm(kRaw), Pointwise(DoubleNear(1e-12), {0.04, 0.09, 0.09, 0.025, 0.5}));
  EXPECT_THAT(benjamini_hochberg(kRaw),
              Pointwise(DoubleNear(1e-12), {0.025, 0.05, 0.05, 0.025, 0.5}));
}

TEST(Multiplicity, NothingAskedAndOneQuestion) {
  EXPECT_TRUE(holm({}).empty());
  EXPECT_THAT(holm({0.2}), Pointwise(DoubleNear(1e-15), {0.2}));
  EXPECT_THAT(benjamini_hochberg({0.2}), Pointwise(DoubleNear(1e-15), {0.2}));
}

TEST(PInWords, ClaimsNoDigitsThatNoDataHas) {
  EXPECT_EQ(p_in_words(0.032), "p 0.032");
  EXPECT_EQ(p_in_words(1), "p 1");
  EXPECT_EQ(p_in_words(1.3e-82), "p < 0.0001");
  EXPECT_EQ(p_in_words(0), "p < 0.0001");
}

}  // namespace
}  // namespace lastlook::analytics
