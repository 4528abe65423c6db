// SPDX-License-Identifier: Apache-2.0
// What the rows of a form are: a projector that makes others of the same entries has a form of its
// own, so that rows are made again wherever they are kept.
#include <re2/re2.h>

#include <cstdint>
#include <sstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/sql.h"
#include "tests/kiosk/records/rich_journal.h"

namespace lastlook::records {
namespace {

// FNV-1a, 64 bits.
std::uint64_t digest_of(const std::string& text) {
  std::uint64_t digest = 0xcbf29ce484222325U;
  for (const char c : text) digest = (digest ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
  return digest;
}

TEST(Form, HasANumberOfItsOwnForOtherRowsOfTheSameEntries) {
  testing::Station station;
  testing::RichJournal(station, 1).units(60);
  std::ostringstream out;
  testing::must(dump(station.records->store(), out));
  std::string rows = out.str();
  EXPECT_GT(std::ranges::count(rows, '\n'), 800);
  // A journal's id is drawn at random, and so are the hashes after it.
  RE2::GlobalReplace(&rows, "\\b([0-9a-f]{32}|[0-9a-f]{64})\\b", "random");
  const std::pair form{sqlite_migrations().size(), digest_of(rows)};
  const std::pair<std::size_t, std::uint64_t> known{18, 2261102671343150255U};
  EXPECT_EQ(form, known)
      << "If the projector makes other rows now, add a migration in kiosk/records/sql/sqlite, then "
         "put its number and this digest here; if this test's journal has changed, the digest.";
}

}  // namespace
}  // namespace lastlook::records
