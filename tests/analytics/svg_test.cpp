// SPDX-License-Identifier: Apache-2.0
#include "analytics/svg.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <regex>

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;
using testing::Not;

Chart one_of_each(Role role) {
  Chart chart;
  chart.width = 320;
  chart.height = 200;
  chart.title = "Findings <this shift>";
  Text text;
  text.role = role;
  text.text = "lid & strap";
  chart.marks = {Line{role, {0, 0}, {10.126, 10}, 1, true}, Bar{role, {1, 2, 3, 4}},
                 Polyline{role, {{0, 0}, {1, 1}}}, Symbol{role, Glyph::diamond, {5, 5}}, text};
  return chart;
}

TEST(Svg, PaintsEveryKindOfMarkWithTheClassOfItsRole) {
  const std::string svg = to_svg(one_of_each(Role::signal));
  for (const char* element : {"<line", "<rect", "<polyline", "<polygon", "<text"}) {
    EXPECT_THAT(svg, HasSubstr(std::string(element) + " class=\"m-signal\""));
  }
  EXPECT_THAT(svg, HasSubstr("x2=\"10.13\""));
  EXPECT_THAT(svg, HasSubstr("stroke-dasharray"));
}

TEST(Svg, EscapesText) {
  const std::string svg = to_svg(one_of_each(Role::label));
  EXPECT_THAT(svg, HasSubstr("<title>Findings &lt;this shift&gt;</title>"));
  EXPECT_THAT(svg, HasSubstr(">lid &amp; strap</text>"));
}

TEST(Svg, NeedsNothingFromElsewhere) {
  const std::string svg = to_svg(one_of_each(Role::few));
  EXPECT_THAT(svg, Not(HasSubstr("href")));
  EXPECT_THAT(svg, Not(HasSubstr("url(")));
  EXPECT_THAT(svg, Not(HasSubstr("<script")));
}

double luminance(const std::string& hex) {
  // WCAG 2.1, relative luminance of sRGB.
  const auto channel = [&](std::size_t at) {
    const double c = std::stoi(hex.substr(at, 2), nullptr, 16) / 255.0;
    return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}

std::string fill_of(const std::string& svg, const std::string& element) {
  std::smatch found;
  const std::regex pattern("<" + element + " class[^>]*fill=\"(#[0-9a-f]{6})\"");
  return std::regex_search(svg, found, pattern) ? found[1].str() : "";
}

// WCAG 2.1, contrast ratio; 7:1 is level AAA.
TEST(Svg, TextOfEveryRoleHasSevenToOneOnWhite) {
  for (int role = 0; role <= static_cast<int>(Role::bad); ++role) {
    const std::string svg = to_svg(one_of_each(static_cast<Role>(role)));
    const std::string fill = fill_of(svg, "text");
    ASSERT_FALSE(fill.empty());
    EXPECT_GE(1.05 / (luminance(fill) + 0.05), 7.0) << svg_class(static_cast<Role>(role));
  }
}

// Two greys a factor of two apart in luminance are told apart on a grey print (common practice).
TEST(Svg, FewManyAndRestDifferInLightness) {
  const double few = luminance(fill_of(to_svg(one_of_each(Role::few)), "rect"));
  const double many = luminance(fill_of(to_svg(one_of_each(Role::many)), "rect"));
  const double rest = luminance(fill_of(to_svg(one_of_each(Role::rest)), "rect"));
  EXPECT_GT(many + 0.05, 2 * (few + 0.05));
  EXPECT_GT(rest + 0.05, 1.5 * (many + 0.05));
}

}  // namespace
}  // namespace lastlook::analytics
