// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/pictures.h"

#include <fstream>

#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using testing::must;

std::vector<unsigned char> bytes_of(std::string_view text) {
  return {text.begin(), text.end()};
}

TEST(Pictures, AreNamedByTheirHash) {
  const testing::TempFolder folder;
  Pictures pictures(folder.path() / "pictures");
  // BLAKE2b with 32 bytes of output over "abc", as b2sum -l 256 prints it.
  const std::string expected = "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319";
  EXPECT_EQ(must(pictures.keep(bytes_of("abc"))), expected);
  std::ifstream file(folder.path() / "pictures" / "bd" / expected);
  EXPECT_EQ(std::string(std::istreambuf_iterator<char>(file), {}), "abc");
  EXPECT_TRUE(must(pictures.is_whole(expected)));
}

TEST(Pictures, KeepTheSameBytesOnceAndLeaveNothingBeside) {
  const testing::TempFolder folder;
  Pictures pictures(folder.path());
  EXPECT_EQ(must(pictures.keep(bytes_of("abc"))), must(pictures.keep(bytes_of("abc"))));
  std::size_t files = 0;
  for (const auto& one : std::filesystem::recursive_directory_iterator(folder.path()))
    files += one.is_regular_file();
  EXPECT_EQ(files, 1U);
}

TEST(Pictures, OneThatWasAlteredIsNotWholeAndIsWrittenAgain) {
  const testing::TempFolder folder;
  Pictures pictures(folder.path());
  const std::string name = must(pictures.keep(bytes_of("abc")));
  std::ofstream(pictures.path_of(name)) << "abd";
  EXPECT_FALSE(must(pictures.is_whole(name)));
  must(pictures.keep(bytes_of("abc")));
  EXPECT_TRUE(must(pictures.is_whole(name)));
}

TEST(Pictures, OneThatIsMissingIsNotWhole) {
  const testing::TempFolder folder;
  EXPECT_FALSE(must(Pictures(folder.path()).is_whole(std::string(64, 'a'))));
}

TEST(Pictures, SayThatTheFolderCannotBeMade) {
  const testing::TempFolder folder;
  std::ofstream(folder.path() / "pictures") << "a file stands in the way";
  const auto kept = Pictures(folder.path() / "pictures").keep(bytes_of("abc"));
  ASSERT_FALSE(kept);
  EXPECT_EQ(kept.error().category, Category::io);
}

}  // namespace
}  // namespace lastlook::records
