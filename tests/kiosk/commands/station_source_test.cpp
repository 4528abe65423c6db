// SPDX-License-Identifier: Apache-2.0
// The statistics of a station's own records, read while nobody writes.
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

// Four first looks on 2026-11-25, early: two right at once; three findings.
class StationSourceTest : public ProgramTest {
 protected:
  StationSourceTest() {
    using domain::Disposition;
    station.look("k-1", "1", 1, Disposition::accept);
    station.look("k-2", "2", 1, Disposition::rework, {{"seal", "not_seated"}, {"lid", "missing"}});
    station.look("k-3", "3", 1, Disposition::rework, {{"seal", "not_seated"}});
    station.look("k-4", "4", 1, Disposition::accept);
    station.records.reset();
  }
  std::string dir() const { return " --dir " + station.folder.path().string(); }
  records::testing::Station station;
};

TEST_F(StationSourceTest, ParetoInTheWordsOfTheCatalogue) {
  run("pareto --json --kinds component,defect" + dir());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["total"], 3);
  EXPECT_EQ(json()["rows"][0]["defect"], "connector seal: not seated");
  EXPECT_EQ(json()["rows"][0]["count"], 2);
  run("pareto --json --where component=lid" + dir());
  EXPECT_EQ(json()["total"], 1);
  run("pareto --json --from 2026-11-26" + dir());
  EXPECT_EQ(json()["total"], 0);
  run("pareto --kinds colour" + dir());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("'colour': the records know component"));
  run("pareto --against " + file("f.csv", "defect\nlid\n") + dir());
  EXPECT_EQ(code_, 2);
}

TEST_F(StationSourceTest, ChartOfShifts) {
  run("pchart --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  ASSERT_EQ(json()["points"].size(), 1U);
  EXPECT_EQ(json()["points"][0]["sample"], "2026-11-25 early");
  EXPECT_DOUBLE_EQ(json()["points"][0]["value"], 0.5);
  run("pchart --json --kind u" + dir());
  EXPECT_DOUBLE_EQ(json()["points"][0]["value"], 0.75);
  run("pchart --kind t" + dir());
  EXPECT_EQ(code_, 2);
}

TEST_F(StationSourceTest, YieldAndPlaces) {
  run("yield --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_DOUBLE_EQ(json()["steps"][0]["first_pass"], 0.5);
  EXPECT_DOUBLE_EQ(json()["steps"][0]["dpu"], 0.75);
  run("where --json" + dir());
  ASSERT_EQ(code_, 0) << err_;
  // Nobody touched the picture: the middle of the component's box.
  EXPECT_EQ(json()["places"][0]["count"], 2);
  EXPECT_NEAR(json()["places"][0]["x"], 0.1, 1e-9);
  EXPECT_NEAR(json()["places"][0]["y"], 0.35, 1e-9);
}

TEST_F(StationSourceTest, LeavesTheRecordsAsTheyWere) {
  const std::string before = content_of(station.folder.path() / "records.db");
  run("pareto" + dir());
  run("pchart" + dir());
  EXPECT_EQ(content_of(station.folder.path() / "records.db"), before);
}

TEST_F(StationSourceTest, AFileAndAStationAreTwoSources) {
  run("pareto " + file("f.csv", "defect\nlid\n") + dir());
  EXPECT_EQ(code_, 2);
  run("pareto --from 2026-11-01 " + path("f.csv"));
  EXPECT_EQ(code_, 2);
}

TEST_F(ProgramTest, WhereTellsWhatIsWrongAndDraws) {
  const std::string csv = file("f.csv", "defect,x,y,severity\ntorn,0.5,0.5,critical\nloose,,,\n");
  run("where --svg " + path("w.svg") + " " + csv);
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("findings: 1, places: 1, without a place: 1"));
  EXPECT_THAT(content_of(path("w.svg")), HasSubstr("torn"));
  const std::string picture = source_dir() + "/sample-images/coolant-pump/reference.jpg";
  run("where --svg " + path("w.svg") + " --picture " + picture + " " + csv);
  ASSERT_EQ(code_, 0) << err_;
  std::system(("base64 -w0 " + picture + " >" + path("b64")).c_str());
  EXPECT_THAT(content_of(path("w.svg")), HasSubstr("base64," + content_of(path("b64")) + "\""));
  run("where --picture " + csv + " " + csv);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected a picture, JPEG or PNG"));
  run("where " + file("g.csv", "defect,x,y\ntorn,50,0.5\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("line 2, column 2 (x): expected a fraction"));
}

}  // namespace
}  // namespace lastlook::commands
