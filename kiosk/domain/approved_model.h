// SPDX-License-Identifier: Apache-2.0
// What the records know of a model that judges at a station, or did.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace lastlook::domain {

struct ApprovedModel {
  std::string model, file;  // id; hash of its file
  std::string before;       // the one that judged until then; empty: none
  std::string before_file;
  std::string product;
  std::vector<std::string> variants;  // that it was taught; empty: not known here
  std::int64_t pictures = 0;          // it was taught on; 0: not known here
  std::int64_t overlapping = 0;       // components whose scores overlap, which was accepted
  std::string why;                    // of going back to an earlier one; empty: newly taught
  std::string approved_by;
  std::int64_t approved_us = 0;
  bool operator==(const ApprovedModel&) const = default;
};

}  // namespace lastlook::domain
