// SPDX-License-Identifier: Apache-2.0
// Seeded chance that gives the same plant on every machine: the distributions of the standard
// library may differ between libraries, this does not.
#pragma once

#include <cmath>
#include <cstdint>
#include <random>

namespace lastlook::commands {

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : engine_(seed) {}

  double uniform() { return static_cast<double>(engine_() >> 11U) * 0x1.0p-53; }  // [0, 1)
  bool of(double probability) { return uniform() < probability; }
  double between(double low, double high) { return low + (high - low) * uniform(); }
  int whole(int low, int high) {  // both included
    return low + static_cast<int>(uniform() * (high - low + 1));
  }
  // Waiting time of things that come by themselves, with this mean.
  double waiting(double mean) { return -mean * std::log1p(-uniform()); }

 private:
  std::mt19937_64 engine_;
};

}  // namespace lastlook::commands
