// SPDX-License-Identifier: Apache-2.0
// Many questions asked of one set of data: p-values corrected for how many were asked.
#pragma once

#include <string>
#include <vector>

namespace lastlook::analytics {

// Definition: adjusted p-values, in the order given; reject where they are at most the level. holm:
//   no false alarm at all with probability 1 - level. benjamini_hochberg: of the alarms raised, on
//   average at most this share is false (questions independent or positively related).
// Divisor: none.
// Least n: none.
// Edges: empty -> empty; p-values must lie in [0, 1].
// Interval method: none.
// Source: Holm (1979) Scand J Stat 6:65; Benjamini & Hochberg (1995) J R Stat Soc B 57:289.
std::vector<double> holm(const std::vector<double>& p_values);
std::vector<double> benjamini_hochberg(const std::vector<double>& p_values);

// "p 0.032", "p < 0.0001": more digits would claim what no data can.
std::string p_in_words(double p_value);

}  // namespace lastlook::analytics
