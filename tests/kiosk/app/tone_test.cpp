// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/tone.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>

namespace lastlook::app {
namespace {

using Samples = std::vector<std::int16_t>;

// How much of this frequency is in a part of the samples, as the height of a sine over all of it.
double strength(const Samples& samples, double hz, double from_s, double lasts_s) {
  const auto first = static_cast<std::size_t>(from_s * tone_rate_hz);
  const auto count = static_cast<std::size_t>(lasts_s * tone_rate_hz);
  std::complex<double> sum;
  for (std::size_t i = 0; i < count && first + i < samples.size(); ++i)
    sum += static_cast<double>(samples[first + i]) / 32767 *
           std::polar(1.0, -2 * std::numbers::pi * hz * static_cast<double>(i) / tone_rate_hz);
  return 2 * std::abs(sum) / static_cast<double>(count);
}

TEST(Tones, OfAnAcceptedUnitRise) {
  const Samples samples = samples_of(Tone::accepted);
  for (const double hz : {294.0, 440.0, 880.0})
    EXPECT_GT(strength(samples, 660, 0, 0.14), 5 * strength(samples, hz, 0, 0.14)) << hz;
  for (const double hz : {294.0, 440.0, 660.0})
    EXPECT_GT(strength(samples, 880, 0.14, 0.22), 5 * strength(samples, hz, 0.14, 0.22)) << hz;
}

TEST(Tones, OfAUnitThatIsNotAcceptedAreTwoEqualLowBeats) {
  const Samples samples = samples_of(Tone::not_accepted);
  for (const double begins_s : {0.0, 0.26})
    EXPECT_GT(strength(samples, 294, begins_s, 0.16), 5 * strength(samples, 660, begins_s, 0.16));
  EXPECT_NEAR(strength(samples, 294, 0, 0.16), strength(samples, 294, 0.26, 0.16), 1e-3);
  EXPECT_EQ(strength(samples, 294, 0.17, 0.08), 0);
}

TEST(Tones, AreAtMostTwelveDecibelBelowFullScaleAndDoNotClick) {
  for (const Tone tone : {Tone::accepted, Tone::not_accepted, Tone::notice}) {
    const Samples samples = samples_of(tone);
    double highest = 0, step = 0, before = 0;
    for (const std::int16_t sample : samples) {
      const double value = sample / 32767.0;
      highest = std::max(highest, std::abs(value));
      step = std::max(step, std::abs(value - before));
      before = value;
    }
    EXPECT_NEAR(20 * std::log10(highest), -12, 0.3);
    // No step is higher than in a sine of the highest tone.
    EXPECT_LT(step, 0.25 * 2 * std::numbers::pi * 880 / tone_rate_hz * 1.05);
    EXPECT_NEAR(before, 0, 1e-3);
  }
}

struct Station {
  flows::Inspection inspection;
  screens::Facts facts;
  Station() { facts.inspection = &inspection; }
  void close(const std::string& look, domain::Disposition disposition) {
    inspection.last.emplace();
    inspection.last->look = look;
    inspection.last->disposition = disposition;
    facts.closed_shown = true;
  }
};

TEST(ToneChooser, TellsAcceptedFromNotAccepted) {
  using enum domain::Disposition;
  Station station;
  ToneChooser tones(station.facts);
  EXPECT_EQ(tones.next(station.facts), std::nullopt);
  station.close("k-1", accept);
  EXPECT_EQ(tones.next(station.facts), Tone::accepted);
  EXPECT_EQ(tones.next(station.facts), std::nullopt);
  for (const auto disposition : {rework, hold, scrap}) {
    station.close(std::string("k-") + std::string(to_word(disposition)), disposition);
    EXPECT_EQ(tones.next(station.facts), Tone::not_accepted);
  }
  station.facts.closed_shown = false;
  EXPECT_EQ(tones.next(station.facts), std::nullopt);
}

TEST(ToneChooser, TellsACorrection) {
  Station station;
  station.close("k-1", domain::Disposition::accept);
  ToneChooser tones(station.facts);
  station.close("k-1", domain::Disposition::rework);
  EXPECT_EQ(tones.next(station.facts), Tone::not_accepted);
}

// A unit that is held back for a second look, and a second look itself, carry no sign.
TEST(ToneChooser, KeepsToItselfWhatTheScreenDoes) {
  using enum domain::Disposition;
  for (const auto disposition : {accept, rework, hold, scrap}) {
    Station station;
    ToneChooser tones(station.facts);
    station.close("k-1", disposition);
    station.inspection.last->held_back = true;
    EXPECT_EQ(tones.next(station.facts), Tone::notice);
    station.close("k-2", disposition);
    station.inspection.last->is_second = true;
    EXPECT_EQ(tones.next(station.facts), Tone::notice);
  }
}

TEST(ToneChooser, TicksWhenSomethingIsSaidAndNotWhenItIsGone) {
  Station station;
  ToneChooser tones(station.facts);
  station.facts.notices = {"not a tag"};
  EXPECT_EQ(tones.next(station.facts), Tone::notice);
  EXPECT_EQ(tones.next(station.facts), std::nullopt);
  station.facts.notices.clear();
  EXPECT_EQ(tones.next(station.facts), std::nullopt);
}

}  // namespace
}  // namespace lastlook::app
