// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/tone.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <span>

namespace lastlook::app {
namespace {

constexpr double peak = 0.25 * 32767;  // -12 dBFS
constexpr double rise_s = 0.012;

struct Beat {
  double hz, begins_s, lasts_s;
};

constexpr std::array chime{Beat{660, 0, 0.14}, Beat{880, 0.14, 0.22}};
constexpr std::array beats{Beat{294, 0, 0.16}, Beat{294, 0.26, 0.16}};
constexpr std::array tick{Beat{520, 0, 0.06}};

std::span<const Beat> beats_of(Tone tone) {
  switch (tone) {
    case Tone::accepted:
      return chime;
    case Tone::not_accepted:
      return beats;
    case Tone::notice:
      break;
  }
  return tick;
}

// Half a cosine up, the last two thirds of it down.
double loudness(double at_s, double lasts_s) {
  const double fade_s = lasts_s * 2 / 3;
  const double up = std::min(1.0, at_s / rise_s), down = std::min(1.0, (lasts_s - at_s) / fade_s);
  return (1 - std::cos(std::numbers::pi * std::min(up, down))) / 2;
}

// What a look came to, as the screen that closes it tells: a unit that is held back, or looked at a
// second time, carries no sign of it, in no tone either. Empty: no such screen.
std::string closed_of(const screens::Facts& facts) {
  const auto& last = facts.inspection->last;
  if (!facts.closed_shown || !last) return {};
  const bool untold = last->is_second || last->held_back;
  return last->look + (untold ? " untold" : " " + std::string(to_word(last->disposition)));
}

}  // namespace

std::vector<std::int16_t> samples_of(Tone tone) {
  const auto all = beats_of(tone);
  const double lasts_s = all.back().begins_s + all.back().lasts_s;
  std::vector<std::int16_t> samples(static_cast<std::size_t>(lasts_s * tone_rate_hz));
  for (const Beat& beat : all) {
    const auto first = static_cast<std::size_t>(beat.begins_s * tone_rate_hz);
    const auto count = static_cast<std::size_t>(beat.lasts_s * tone_rate_hz);
    for (std::size_t i = 0; i < count && first + i < samples.size(); ++i) {
      const double at_s = static_cast<double>(i) / tone_rate_hz;
      const double wave = std::sin(2 * std::numbers::pi * beat.hz * at_s);
      samples[first + i] =
          static_cast<std::int16_t>(std::lround(peak * loudness(at_s, beat.lasts_s) * wave));
    }
  }
  return samples;
}

ToneChooser::ToneChooser(const screens::Facts& facts)
    : closed_(closed_of(facts)), notices_(facts.notices) {}

std::optional<Tone> ToneChooser::next(const screens::Facts& facts) {
  const std::string closed = closed_of(facts);
  const bool closes = closed != closed_ && !closed.empty();
  const bool notes = facts.notices != notices_ && !facts.notices.empty();
  closed_ = closed;
  notices_ = facts.notices;
  if (!closes) return notes ? std::optional(Tone::notice) : std::nullopt;
  if (closed.ends_with(" untold")) return Tone::notice;
  return closed.ends_with(" accept") ? Tone::accepted : Tone::not_accepted;
}

}  // namespace lastlook::app
