// SPDX-License-Identifier: Apache-2.0
// What the kiosk sounds like, and when. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "kiosk/screens/facts.h"

namespace lastlook::app {

// accepted: a chime that rises from 660 to 880 Hz. not_accepted: two equal low beats of 294 Hz.
// notice: a short tick of 520 Hz. Apart by pitch, by number and by rhythm.
enum class Tone { accepted, not_accepted, notice };

constexpr int tone_rate_hz = 48000;

// One channel, at most 12 dB below full scale, risen and faded so softly that nothing clicks.
std::vector<std::int16_t> samples_of(Tone tone);

// Follows the facts and says what the latest change sounds like.
class ToneChooser {
 public:
  // What is so when the program starts is no news.
  explicit ToneChooser(const screens::Facts& facts);
  std::optional<Tone> next(const screens::Facts& facts);

 private:
  std::string closed_;
  std::vector<std::string> notices_;
};

}  // namespace lastlook::app
