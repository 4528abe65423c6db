// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/sign_in.h"

namespace lastlook::flows {
namespace {

using Stage = SignInPad::Stage;
using Trouble = SignInPad::Trouble;
constexpr std::int64_t second_us = 1'000'000;

// A pad and a finger.
struct Finger {
  SignInPad pad;
  std::int64_t mono_us = 50 * second_us;

  PadOutcome press(const PadEvent& event) {
    PadOutcome out = flows::press(pad, event, mono_us);
    pad = out.pad;
    return out;
  }
  PadOutcome enter(const std::string& pin) {
    for (const char digit : pin) press(PressDigit{digit});
    return press(EnterPin{});
  }
  void wrong_once() {
    const auto out = enter("9999");
    ASSERT_TRUE(out.check);
    press(PinChecked{out.check->check, out.check->person, false});
  }
};

Finger at_pin_of(const std::string& person) {
  Finger finger;
  finger.press(ChoosePerson{person, domain::Role::supervisor});
  return finger;
}

TEST(SignInPad, ANameThenAPinThenItsCheckSignsIn) {
  Finger finger = at_pin_of("p-1");
  EXPECT_EQ(finger.pad.stage, Stage::pin);
  const auto out = finger.enter("123456");
  ASSERT_TRUE(out.check);
  EXPECT_EQ(out.check->person, "p-1");
  EXPECT_EQ(out.check->pin, "123456");
  EXPECT_FALSE(out.sign_in) << "only the check signs in";
  EXPECT_EQ(finger.pad.digits, "") << "handed out, not kept";
  const auto done = finger.press(PinChecked{out.check->check, "p-1", true});
  ASSERT_TRUE(done.sign_in);
  EXPECT_EQ(done.sign_in->person, "p-1");
  EXPECT_EQ(done.sign_in->role, domain::Role::supervisor);
  EXPECT_EQ(finger.pad.stage, Stage::choose);
}

TEST(SignInPad, APinHasFourToTwelveDigits) {
  Finger finger = at_pin_of("p-1");
  EXPECT_FALSE(finger.enter("123").check);
  EXPECT_EQ(finger.pad.trouble, Trouble::too_short);
  finger.press(PressDigit{'4'});
  EXPECT_EQ(finger.pad.trouble, Trouble::none);
  for (int i = 0; i < 20; ++i) finger.press(PressDigit{'5'});
  finger.press(PressDigit{'x'});
  EXPECT_EQ(finger.pad.digits, "123455555555");
  finger.press(RubOut{});
  EXPECT_EQ(finger.press(EnterPin{}).check->pin, "12345555555");
}

TEST(SignInPad, EachWrongPinInARowMakesTheWaitLonger) {
  Finger finger = at_pin_of("p-1");
  std::vector<int> waits;
  for (int i = 0; i < 9; ++i) {
    finger.wrong_once();
    waits.push_back(seconds_to_wait(finger.pad, finger.mono_us));
    finger.mono_us += waits.back() * second_us;
  }
  EXPECT_EQ(waits, (std::vector<int>{1, 2, 4, 8, 16, 32, 60, 60, 60}));
}

TEST(SignInPad, BeforeTheWaitIsOverNothingIsChecked) {
  Finger finger = at_pin_of("p-1");
  finger.wrong_once();
  EXPECT_EQ(finger.pad.trouble, Trouble::wrong_pin);
  EXPECT_FALSE(finger.enter("1234").check);
  EXPECT_EQ(finger.pad.trouble, Trouble::wait);
  finger.mono_us += second_us - 1;
  EXPECT_FALSE(finger.press(EnterPin{}).check);
  finger.mono_us += 1;
  EXPECT_TRUE(finger.press(EnterPin{}).check);
}

TEST(SignInPad, LeavingThePadForgetsNoMiss) {
  Finger finger = at_pin_of("p-1");
  finger.wrong_once();
  finger.press(LeavePad{});
  finger.press(ChoosePerson{"p-1", domain::Role::supervisor});
  EXPECT_FALSE(finger.enter("1234").check);
  EXPECT_EQ(finger.pad.trouble, Trouble::wait);
  EXPECT_EQ(finger.pad.digits, "1234") << "typed once is enough";
  finger.mono_us += second_us;
  EXPECT_TRUE(finger.press(EnterPin{}).check);
}

TEST(SignInPad, AnotherPersonDoesNotWaitForIt) {
  Finger finger = at_pin_of("p-1");
  finger.wrong_once();
  finger.press(ChoosePerson{"p-2", domain::Role::inspector});
  EXPECT_TRUE(finger.enter("1234").check);
}

TEST(SignInPad, ARightPinForgivesTheWrongOnes) {
  Finger finger = at_pin_of("p-1");
  finger.wrong_once();
  finger.mono_us += second_us;
  const auto out = finger.enter("1234");
  finger.press(PinChecked{out.check->check, "p-1", true});
  EXPECT_TRUE(finger.pad.misses.empty());
}

TEST(SignInPad, ACheckThatComesTooLateSignsNobodyIn) {
  Finger finger = at_pin_of("p-1");
  const auto first = finger.enter("1234");
  finger.press(LeavePad{});
  EXPECT_FALSE(finger.press(PinChecked{first.check->check, "p-1", true}).sign_in);
  finger.press(ChoosePerson{"p-1", domain::Role::inspector});
  const auto second = finger.enter("9999");
  EXPECT_FALSE(finger.press(PinChecked{first.check->check, "p-1", true}).sign_in)
      << "the answer to an earlier PIN";
  finger.press(LeavePad{});
  finger.press(PinChecked{second.check->check, "p-1", false});
  EXPECT_EQ(finger.pad.misses.at("p-1").count, 1) << "left or not, it was wrong";
  EXPECT_EQ(finger.pad.stage, Stage::choose);
}

TEST(SignInPad, WhileACheckRunsThePadIsStill) {
  Finger finger = at_pin_of("p-1");
  finger.enter("1234");
  const SignInPad before = finger.pad;
  finger.press(PressDigit{'1'});
  finger.press(RubOut{});
  finger.press(EnterPin{});
  finger.press(ChoosePerson{"p-2", domain::Role::inspector});
  EXPECT_EQ(finger.pad, before);
}

TEST(SignInPad, ACheckThatDidNotWorkIsNoMiss) {
  Finger finger = at_pin_of("p-1");
  const auto out = finger.enter("1234");
  finger.press(PinCheckFailed{out.check->check});
  EXPECT_EQ(finger.pad.trouble, Trouble::check_failed);
  EXPECT_EQ(finger.pad.stage, Stage::pin);
  EXPECT_TRUE(finger.pad.misses.empty());
}

TEST(SignInPad, StartingAgainShortensNoWait) {
  Finger finger{with_misses({{"p-1", 3}, {"p-2", 0}}, 50 * second_us)};
  finger.press(ChoosePerson{"p-2", domain::Role::inspector});
  EXPECT_TRUE(finger.enter("1234").check);
  finger = Finger{with_misses({{"p-1", 3}}, 50 * second_us)};
  finger.press(ChoosePerson{"p-1", domain::Role::inspector});
  EXPECT_FALSE(finger.enter("1234").check);
  EXPECT_EQ(seconds_to_wait(finger.pad, finger.mono_us), 4);
  finger.mono_us += 4 * second_us;
  finger.press(EnterPin{});
  finger.press(PinChecked{finger.pad.checks, "p-1", false});
  EXPECT_EQ(seconds_to_wait(finger.pad, finger.mono_us), 8) << "the fourth in a row";
}

}  // namespace
}  // namespace lastlook::flows
