// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/heartbeat.h"

#include <stdlib.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <filesystem>
#include <memory>

namespace lastlook::app {
namespace {

using namespace std::chrono_literals;

// In the place of systemd: a socket that the environment names.
class HeartbeatTest : public testing::Test {
 protected:
  HeartbeatTest() {
    std::string made = (std::filesystem::temp_directory_path() / "lastlook-XXXXXX").string();
    folder_ = mkdtemp(made.data());
    const std::string name = (folder_ / "notify").string();
    socket_ = socket(AF_UNIX, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    name.copy(address.sun_path, sizeof address.sun_path - 1);
    EXPECT_EQ(bind(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    setenv("NOTIFY_SOCKET", name.c_str(), 1);
    unsetenv("WATCHDOG_PID");
    setenv("WATCHDOG_USEC", "4000000", 1);
  }
  ~HeartbeatTest() override {
    unsetenv("NOTIFY_SOCKET");
    unsetenv("WATCHDOG_USEC");
    unsetenv("WATCHDOG_PID");
    close(socket_);
    std::filesystem::remove_all(folder_);
  }
  // What was told since the last call.
  std::vector<std::string> told() const {
    std::vector<std::string> all;
    std::array<char, 256> text{};
    for (ssize_t size; (size = recv(socket_, text.data(), text.size(), 0)) >= 0;)
      all.emplace_back(text.data(), static_cast<std::size_t>(size));
    return all;
  }
  std::filesystem::path folder_;
  int socket_ = -1;
};

using ::testing::ElementsAre;
using ::testing::IsEmpty;

TEST_F(HeartbeatTest, BeatsTwiceInTheTimeInWhichOneIsExpected) {
  Heartbeat heart;
  heart.beat(10'000ms);
  EXPECT_THAT(told(), ElementsAre("WATCHDOG=1"));
  EXPECT_EQ(heart.rests_for(10'500ms), 1500ms);
  heart.beat(11'999ms);
  EXPECT_THAT(told(), IsEmpty());
  heart.beat(12'000ms);
  EXPECT_THAT(told(), ElementsAre("WATCHDOG=1"));
  EXPECT_EQ(heart.rests_for(20'000ms), 0ms);
}

TEST_F(HeartbeatTest, SaysOnceThatItIsReadyAndInTheEndThatItEnds) {
  {
    Heartbeat heart;
    EXPECT_THAT(told(), IsEmpty());
    heart.ready();
    heart.ready();
    EXPECT_THAT(told(), ElementsAre("READY=1"));
  }
  EXPECT_THAT(told(), ElementsAre("STOPPING=1"));
}

TEST_F(HeartbeatTest, NeverBeatsWhereNobodyExpectsIt) {
  setenv("WATCHDOG_PID", std::to_string(getppid()).c_str(), 1);  // meant for another process
  Heartbeat heart;
  heart.beat(10'000ms);
  EXPECT_THAT(told(), IsEmpty());
  EXPECT_EQ(heart.rests_for(10'000ms), Heartbeat::Time::max());
}

}  // namespace
}  // namespace lastlook::app
