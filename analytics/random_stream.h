// SPDX-License-Identifier: Apache-2.0
// Random numbers that are the same on every machine: SplitMix64 (Steele, Lea & Flood 2014). One
// stream a resample, so that threads may share the work.
#pragma once

#include <cstdint>

namespace lastlook::analytics {

class RandomStream {
 public:
  explicit RandomStream(std::uint64_t state) : state_(state) {}
  // The stream of one resample among many of the same seed.
  RandomStream(std::uint64_t seed, std::uint64_t resample)
      : state_(RandomStream(seed ^ resample * 0xD1342543DE82EF95U).next()) {}

  std::uint64_t next() {
    std::uint64_t z = state_ += 0x9E3779B97F4A7C15U;
    z = (z ^ z >> 30U) * 0xBF58476D1CE4E5B9U;
    z = (z ^ z >> 27U) * 0x94D049BB133111EBU;
    return z ^ z >> 31U;
  }

  // Below `bound`, by the high half of a product: bias below bound / 2^32.
  std::uint32_t below(std::uint32_t bound) {
    return static_cast<std::uint32_t>((next() >> 32U) * bound >> 32U);
  }

 private:
  std::uint64_t state_;
};

}  // namespace lastlook::analytics
