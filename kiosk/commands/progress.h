// SPDX-License-Identifier: Apache-2.0
// A progress bar on stderr: only where that is a terminal, and only once it has taken a second.
#pragma once

#include <chrono>
#include <string>

namespace lastlook::commands {

class Progress {
 public:
  explicit Progress(std::string what);
  ~Progress();  // leaves the line empty
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void show(int done, int total);

 private:
  std::string what_;
  std::chrono::steady_clock::time_point begin_;
  bool terminal_;
  bool drawn_ = false;
};

}  // namespace lastlook::commands
