// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include <algorithm>

#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

class Plan : public ProgramTest {};

// MIL-HDBK-1823A: 29 and 46; Cantor (1996) as it should be: 117.
TEST_F(Plan, PublishedSizes) {
  run("plan proof --rate 0.1 --json");
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["units"], 29);
  run("plan proof --rate 0.1 --misses 1 --json");
  EXPECT_EQ(json()["units"], 46);
  run("plan kappa --expect 0.85 --against 0.7 --share 0.5 --json");
  EXPECT_EQ(json()["units"], 117);
}

TEST_F(Plan, SaysWhatTheNumberMeans) {
  run("plan proof --rate 0.05");
  EXPECT_THAT(
      out_,
      StartsWith(
          "59 units: with at most 0 missed of so many bad units, the miss rate is below 5 %"));
  run("plan shift --from 0.02 --to 0.08");
  EXPECT_EQ(code_, 0);
}

TEST_F(Plan, RefusesWhatCannotBePlanned) {
  run("plan proof --rate 2");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("a rate of 2: expected more than 0 and less than 1"));
  run("plan kappa");
  EXPECT_EQ(code_, 2);
  run("plan");
  EXPECT_EQ(code_, 2);
}

TEST_F(Plan, RefusesWhatWouldChangeNothing) {
  for (const char* command : {"kappa --half-width 0.1 --power 0.9",
                              "kappa --against 0.4 --shares 0.2,0.3,0.5 --share 0.3",
                              "kappa --against 0.4 --shares 0.2,0.3,0.5 --second-share 0.3"}) {
    run("plan " + std::string(command));
    EXPECT_EQ(code_, 2) << command;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
  }
}

TEST_F(Plan, HelpHasAnExample) {
  run("plan kappa --help");
  EXPECT_EQ(code_, 0);
  EXPECT_THAT(out_, HasSubstr("lastlook plan kappa --expect"));
}

// Flack et al. (1988), as an example output prints it.
TEST_F(Plan, KappaOfSeveralCategories) {
  run("plan kappa --expect 0.6 --against 0.4 --shares 0.2,0.25,0.55 --json");
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["units"], 101);
  run("plan kappa --expect 0.6 --shares 0.2,0.25,0.55 --half-width 0.1");
  EXPECT_EQ(code_, 2);
}

}  // namespace
}  // namespace lastlook::commands
