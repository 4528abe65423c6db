// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/command.h"

#include <algorithm>

#include "kiosk/commands/checkup.h"

namespace lastlook::commands {
namespace {

int exit_code_of(std::vector<const char*> arguments) {
  arguments.insert(arguments.begin(), "lastlook");
  return run(
      static_cast<int>(arguments.size()), arguments.data(), [](const auto&) { return 0; },
      [] { return std::vector<Check>(); });
}

TEST(Command, HelpListsEveryCommand) {
  ::testing::internal::CaptureStdout();
  EXPECT_EQ(exit_code_of({"help"}), done);
  const std::string help = ::testing::internal::GetCapturedStdout();
  for (const char* command : {"pareto", "pchart", "agreement", "teach", "see", "records", "demo"})
    EXPECT_THAT(help, ::testing::HasSubstr(command));
}

TEST(Command, AWordThatIsNoCommandIsNamedInOneLine) {
  ::testing::internal::CaptureStderr();
  EXPECT_EQ(exit_code_of({"paretto", "x.csv"}), bad_input);
  const std::string line = ::testing::internal::GetCapturedStderr();
  EXPECT_THAT(line, ::testing::StartsWith("lastlook: 'paretto' is not a command"));
  EXPECT_EQ(std::ranges::count(line, '\n'), 1);
}

}  // namespace
}  // namespace lastlook::commands
