// SPDX-License-Identifier: Apache-2.0
// The theme's colours as eyes see them that lack one kind of cones.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <span>

#include "kiosk/screens/theme.h"

namespace lastlook::screens {
namespace {

using Three = std::array<double, 3>;
using Matrix = std::array<Three, 3>;

double dot(const Three& a, const Three& b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

Three times(const Matrix& m, const Three& v) {
  return {dot(m[0], v), dot(m[1], v), dot(m[2], v)};
}

// Linear light of sRGB (IEC 61966-2-1).
Three linear(Rgb c) {
  const auto one = [](std::uint8_t channel) {
    const double v = channel / 255.0;
    return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
  };
  return {one(c.r), one(c.g), one(c.b)};
}

// CIE L*a*b*, white D65.
Three lab(const Three& light) {
  constexpr Matrix to_xyz{{{0.4124564, 0.3575761, 0.1804375},
                           {0.2126729, 0.7151522, 0.0721750},
                           {0.0193339, 0.1191920, 0.9503041}}};
  constexpr Three white{0.95047, 1.0, 1.08883};
  Three f = times(to_xyz, light);
  for (std::size_t i = 0; i < 3; ++i) {
    const double t = f[i] / white[i];
    f[i] = t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116;
  }
  return {116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])};
}

double radians(double degrees) {
  return degrees * std::numbers::pi / 180;
}

double seventh(double chroma) {
  const double c7 = std::pow(chroma, 7);
  return std::sqrt(c7 / (c7 + std::pow(25.0, 7)));
}

// CIEDE2000. Source: Sharma, Wu & Dalal 2005, Color Research & Application 30(1), equations 2
// to 22.
double difference(const Three& one, const Three& other) {
  const double g =
      0.5 * (1 - seventh((std::hypot(one[1], one[2]) + std::hypot(other[1], other[2])) / 2));
  const double a1 = one[1] * (1 + g), a2 = other[1] * (1 + g);
  const double c1 = std::hypot(a1, one[2]), c2 = std::hypot(a2, other[2]);
  const auto hue = [](double b, double a) {
    if (a == 0 && b == 0) return 0.0;
    const double h = std::atan2(b, a) * 180 / std::numbers::pi;
    return h < 0 ? h + 360 : h;
  };
  const double h1 = hue(one[2], a1), h2 = hue(other[2], a2);
  const bool grey = c1 * c2 == 0;
  double turn = grey ? 0 : h2 - h1;
  if (turn > 180) turn -= 360;
  if (turn < -180) turn += 360;
  double mean_h = h1 + h2;
  if (!grey && std::abs(h1 - h2) > 180) mean_h += mean_h < 360 ? 360 : -360;
  if (!grey) mean_h /= 2;
  const double mean_l = (one[0] + other[0]) / 2, mean_c = (c1 + c2) / 2;
  const double t = 1 - 0.17 * std::cos(radians(mean_h - 30)) +
                   0.24 * std::cos(radians(2 * mean_h)) + 0.32 * std::cos(radians(3 * mean_h + 6)) -
                   0.20 * std::cos(radians(4 * mean_h - 63));
  const double l50 = (mean_l - 50) * (mean_l - 50);
  const double dl = (other[0] - one[0]) / (1 + 0.015 * l50 / std::sqrt(20 + l50));
  const double dc = (c2 - c1) / (1 + 0.045 * mean_c);
  const double dh = 2 * std::sqrt(c1 * c2) * std::sin(radians(turn / 2)) / (1 + 0.015 * mean_c * t);
  const double blue = 30 * std::exp(-std::pow((mean_h - 275) / 25, 2));
  const double turned = -std::sin(radians(2 * blue)) * 2 * seventh(mean_c);
  return std::sqrt(dl * dl + dc * dc + dh * dh + turned * dc * dh);
}

// Source: Machado, Oliveira & Fernandes 2009, IEEE TVCG 15(6), severity 1.0; on linear light.
struct Eye {
  const char* name;
  Matrix sees;
};

constexpr std::array eyes{
    Eye{"all three cones", {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}},
    Eye{"protanopia",
        {{{0.152286, 1.052583, -0.204868},
          {0.114503, 0.786281, 0.099216},
          {-0.003882, -0.048116, 1.051998}}}},
    Eye{"deuteranopia",
        {{{0.367322, 0.860646, -0.227968},
          {0.280085, 0.672501, 0.047413},
          {-0.011820, 0.042940, 0.968881}}}},
    Eye{"tritanopia",
        {{{1.255528, -0.076749, -0.178779},
          {-0.078411, 0.930809, 0.147602},
          {0.004733, 0.691367, 0.303900}}}},
};

Three seen(const Eye& eye, Rgb colour) {
  Three light = times(eye.sees, linear(colour));
  for (double& channel : light) channel = std::clamp(channel, 0.0, 1.0);
  return light;
}

struct Published {
  Three one, other;
  double difference;
};

// All 34 pairs of the supplementary test data of Sharma, Wu & Dalal 2005.
constexpr std::array published{
    Published{{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
    Published{{50, 3.1571, -77.2803}, {50, 0, -82.7485}, 2.8615},
    Published{{50, 2.8361, -74.0200}, {50, 0, -82.7485}, 3.4412},
    Published{{50, -1.3802, -84.2814}, {50, 0, -82.7485}, 1.0000},
    Published{{50, -1.1848, -84.8006}, {50, 0, -82.7485}, 1.0000},
    Published{{50, -0.9009, -85.5211}, {50, 0, -82.7485}, 1.0000},
    Published{{50, 0, 0}, {50, -1, 2}, 2.3669},
    Published{{50, -1, 2}, {50, 0, 0}, 2.3669},
    Published{{50, 2.4900, -0.0010}, {50, -2.4900, 0.0009}, 7.1792},
    Published{{50, 2.4900, -0.0010}, {50, -2.4900, 0.0010}, 7.1792},
    Published{{50, 2.4900, -0.0010}, {50, -2.4900, 0.0011}, 7.2195},
    Published{{50, 2.4900, -0.0010}, {50, -2.4900, 0.0012}, 7.2195},
    Published{{50, -0.0010, 2.4900}, {50, 0.0009, -2.4900}, 4.8045},
    Published{{50, -0.0010, 2.4900}, {50, 0.0010, -2.4900}, 4.8045},
    Published{{50, -0.0010, 2.4900}, {50, 0.0011, -2.4900}, 4.7461},
    Published{{50, 2.5, 0}, {50, 0, -2.5}, 4.3065},
    Published{{50, 2.5, 0}, {73, 25, -18}, 27.1492},
    Published{{50, 2.5, 0}, {61, -5, 29}, 22.8977},
    Published{{50, 2.5, 0}, {56, -27, -3}, 31.9030},
    Published{{50, 2.5, 0}, {58, 24, 15}, 19.4535},
    Published{{50, 2.5, 0}, {50, 3.1736, 0.5854}, 1.0000},
    Published{{50, 2.5, 0}, {50, 3.2972, 0}, 1.0000},
    Published{{50, 2.5, 0}, {50, 1.8634, 0.5757}, 1.0000},
    Published{{50, 2.5, 0}, {50, 3.2592, 0.3350}, 1.0000},
    Published{{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
    Published{{63.0109, -31.0961, -5.8663}, {62.8187, -29.7946, -4.0864}, 1.2630},
    Published{{61.2901, 3.7196, -5.3901}, {61.4292, 2.2480, -4.9620}, 1.8731},
    Published{{35.0831, -44.1164, 3.7933}, {35.0232, -40.0716, 1.5901}, 1.8645},
    Published{{22.7233, 20.0904, -46.6940}, {23.0331, 14.9730, -42.5619}, 2.0373},
    Published{{36.4612, 47.8580, 18.3852}, {36.2715, 50.5065, 21.2231}, 1.4146},
    Published{{90.8027, -2.0831, 1.4410}, {91.1528, -1.6435, 0.0447}, 1.4441},
    Published{{90.9257, -0.5406, -0.9208}, {88.6381, -0.8985, -0.7239}, 1.5381},
    Published{{6.7747, -0.2908, -2.4247}, {5.8714, -0.0985, -2.2286}, 0.6377},
    Published{{2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082},
};

TEST(ColourDifference, IsThePublishedOne) {
  for (const Published& pair : published)
    EXPECT_NEAR(difference(pair.one, pair.other), pair.difference, 1e-4)
        << pair.one[0] << " " << pair.one[1] << " " << pair.one[2];
}

TEST(ColourVision, SeesGreyAsGrey) {
  for (const Eye& eye : eyes)
    for (const double light : {0.1, 0.5, 1.0})
      for (const double channel : times(eye.sees, {light, light, light}))
        EXPECT_NEAR(channel, light, 1e-5) << eye.name;
}

// A red and a green that are one colour without the middle cones.
TEST(ColourVision, ConfusesWhatItShould) {
  const Rgb red{0xC0, 0x50, 0x40}, green{0x68, 0x88, 0x30};
  EXPECT_GT(difference(lab(seen(eyes[0], red)), lab(seen(eyes[0], green))), 40);
  EXPECT_LT(difference(lab(seen(eyes[2], red)), lab(seen(eyes[2], green))), 2);
}

// What must be told apart where it stands side by side: the states of units and steps, the bars of
// a Pareto, and what a chart shows as a signal beside its points, limits and centre.
constexpr std::array states{Ink::good, Ink::warn, Ink::stop, Ink::must};
constexpr std::array bars{Ink::few, Ink::many, Ink::rest};
constexpr std::array marks{Ink::stop, Ink::text};
constexpr std::array lines{Ink::stop, Ink::edge, Ink::few};

// About twelve times what an eye just notices side by side.
constexpr double told_apart = 12;

class Seen : public testing::TestWithParam<const Theme*> {
 protected:
  void expect_apart(std::span<const Ink> inks) {
    for (const Eye& eye : eyes)
      for (std::size_t i = 0; i < inks.size(); ++i)
        for (std::size_t j = 0; j < i; ++j)
          EXPECT_GE(difference(lab(seen(eye, (*GetParam())[inks[i]])),
                               lab(seen(eye, (*GetParam())[inks[j]]))),
                    told_apart)
              << eye.name << ": inks " << static_cast<int>(inks[j]) << " and "
              << static_cast<int>(inks[i]);
  }
};

TEST_P(Seen, StatesAreToldApart) {
  expect_apart(states);
}

TEST_P(Seen, BarsAreToldApart) {
  expect_apart(bars);
}

TEST_P(Seen, SignalsAreToldFromWhatIsAsUsual) {
  expect_apart(marks);
  expect_apart(lines);
}

INSTANTIATE_TEST_SUITE_P(Both, Seen, testing::Values(&light_theme(), &dark_theme()));

}  // namespace
}  // namespace lastlook::screens
