// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;

TEST(Keeping, PicturesGoByTheQualityEngineerAlone) {
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator}) {
    Desk desk;
    desk.give(SignIn{"p-x", role});
    EXPECT_EQ(said(desk.give(PrunePictures{{"2026-06-01", {"ab"}}, "p-x"})),
              "needs_quality_engineer");
  }
  Desk desk;
  EXPECT_THAT(kinds(desk.give(PrunePictures{{"2026-06-01", {"ab"}}, "p-quin"})),
              ElementsAre("pictures_pruned"));
  EXPECT_EQ(desk.refusal(PrunePictures{{"2026-06-01", {}}, "p-quin"}), Category::bad_input);
}

}  // namespace
}  // namespace lastlook::flows
