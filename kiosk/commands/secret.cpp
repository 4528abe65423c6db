// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/secret.h"

#include <fmt/format.h>
#include <termios.h>
#include <unistd.h>

#include <cstdio>
#include <iostream>

namespace lastlook::commands {
namespace {

// Typed letters are not shown while it lives.
class Hidden {
 public:
  Hidden() {
    if (tcgetattr(STDIN_FILENO, &before_) != 0) return;  // no terminal
    termios hidden = before_;
    hidden.c_lflag &= ~static_cast<tcflag_t>(ECHO);
    changed_ = tcsetattr(STDIN_FILENO, TCSAFLUSH, &hidden) == 0;
  }
  ~Hidden() {
    if (!changed_) return;
    tcsetattr(STDIN_FILENO, TCSAFLUSH, &before_);
    fmt::print(stderr, "\n");
  }
  Hidden(const Hidden&) = delete;
  Hidden& operator=(const Hidden&) = delete;

 private:
  termios before_{};
  bool changed_ = false;
};

}  // namespace

Result<std::string> read_secret(const std::string& what) {
  if (isatty(STDIN_FILENO)) fmt::print(stderr, "{}: ", what);
  const Hidden hidden;
  std::string line;
  if (!std::getline(std::cin, line))
    return fail(Category::bad_input, fmt::format("standard input: ended, expected {}", what));
  if (line.ends_with('\r')) line.pop_back();
  return line;
}

}  // namespace lastlook::commands
