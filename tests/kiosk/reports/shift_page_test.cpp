// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_page.h"

#include <fstream>

#include "tests/kiosk/records/station.h"
#include "tests/places.h"

namespace lastlook::reports {
namespace {

namespace fs = std::filesystem;
using records::testing::must;

const text::Strings& say() {
  static const text::Strings strings =
      text::Strings::load(source_dir() + "/assets/strings/en.json").value();
  return strings;
}

TEST(ShiftPage, IsInItsFolderWhateverTheShiftIsCalled) {
  const records::testing::Station station;
  const fs::path folder = station.folder.path();
  for (const auto& [shift, name] : {std::pair{"early", "shift-2026-11-25-early.html"},
                                    {"../../A/B", "shift-2026-11-25-.._.._A_B.html"}}) {
    const fs::path file =
        must(write_shift_report(folder, {"2026-11-25", shift}, say(), domain::Reading{}));
    EXPECT_EQ(file, folder / "reports" / name);
    std::ifstream in(file);
    const std::string page(std::istreambuf_iterator<char>(in), {});
    EXPECT_THAT(page, ::testing::HasSubstr("Journal checked"));
  }
}

TEST(ShiftPage, OfAFolderWithoutAStationIsNone) {
  const records::testing::TempFolder empty;
  const auto file = write_shift_report(empty.path(), {"2026-11-25", "early"}, say(), {});
  ASSERT_FALSE(file);
  EXPECT_EQ(file.error().category, Category::not_found);
  EXPECT_TRUE(fs::is_empty(empty.path()));
}

}  // namespace
}  // namespace lastlook::reports
