// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/progress.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <utility>

namespace lastlook::commands {

Progress::Progress(std::string what)
    : what_(std::move(what)),
      begin_(std::chrono::steady_clock::now()),
      terminal_(isatty(STDERR_FILENO) == 1) {}

Progress::~Progress() {
  if (drawn_) fmt::print(stderr, "\r\x1b[K");
}

void Progress::show(int done, int total) {
  using namespace std::chrono_literals;
  if (!terminal_ || std::chrono::steady_clock::now() - begin_ < 1s) return;
  constexpr int cells = 40;
  const double share = total > 0 ? std::clamp(static_cast<double>(done) / total, 0.0, 1.0) : 0.0;
  const int filled = static_cast<int>(share * cells);
  fmt::print(stderr, "\r{} [{:=<{}}{:{}}] {:3.0f} %", what_, "", filled, "", cells - filled,
             share * 100);
  std::fflush(stderr);
  drawn_ = true;
}

}  // namespace lastlook::commands
