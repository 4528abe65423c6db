// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/network_share.h"

#include <gmock/gmock.h>

namespace lastlook::sync {
namespace {

using ::testing::StrEq;

// The numbers of statfs(2), Linux man-pages 6.03.
TEST(NetworkShare, KnowsTheKindsThatStatfsNames) {
  EXPECT_THAT(network_share(0x6969), StrEq("NFS"));
  EXPECT_THAT(network_share(0xff534d42), StrEq("SMB"));
  EXPECT_THAT(network_share(0xfe534d42), StrEq("SMB"));
  EXPECT_THAT(network_share(0x01021997), StrEq("9P"));
  EXPECT_EQ(network_share(0xef53), nullptr);      // ext4
  EXPECT_EQ(network_share(0x58465342), nullptr);  // XFS
  EXPECT_EQ(network_share(0x4d44), nullptr);      // FAT, as on a stick
}

TEST(NetworkShare, AFolderThatIsMissingIsNamed) {
  const Status checked = check_local("/no/such/folder/plant.db");
  ASSERT_FALSE(checked.has_value());
  EXPECT_EQ(checked.error().category, Category::io);
  EXPECT_THAT(checked.error().message, ::testing::HasSubstr("/no/such/folder"));
  EXPECT_TRUE(check_local("/tmp/plant.db").has_value());
}

}  // namespace
}  // namespace lastlook::sync
