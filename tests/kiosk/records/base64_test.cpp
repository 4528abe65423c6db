// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/base64.h"

#include <gtest/gtest.h>

namespace lastlook::records {
namespace {

std::vector<unsigned char> bytes_of(std::string_view text) {
  return {text.begin(), text.end()};
}

// RFC 4648, section 10: the test vectors of base64.
constexpr std::pair<std::string_view, std::string_view> vectors[] = {{"", ""},
                                                                     {"f", "Zg=="},
                                                                     {"fo", "Zm8="},
                                                                     {"foo", "Zm9v"},
                                                                     {"foob", "Zm9vYg=="},
                                                                     {"fooba", "Zm9vYmE="},
                                                                     {"foobar", "Zm9vYmFy"}};

TEST(Base64, WritesAndReadsTheVectorsOfTheStandard) {
  for (const auto& [plain, coded] : vectors) {
    EXPECT_EQ(to_base64(bytes_of(plain)), coded);
    EXPECT_EQ(from_base64(coded), bytes_of(plain)) << coded;
  }
}

TEST(Base64, PassesOverLineEndsAndRefusesWhatIsNotBase64) {
  EXPECT_EQ(from_base64("Zm9v\r\nYmFy\n"), bytes_of("foobar"));
  for (const std::string_view text : {"Zm9", "Zm9v!", "Zg==Zg==", "pictures/one.jpg"})
    EXPECT_EQ(from_base64(text), std::nullopt) << text;
}

}  // namespace
}  // namespace lastlook::records
