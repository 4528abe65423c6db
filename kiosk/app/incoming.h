// SPDX-License-Identifier: Apache-2.0
// The folder `incoming` of a station: whoever has results of upstream tests or build records puts a
// CSV file there (text/result_file.h), under another name first, then renamed to *.csv. It is taken
// in while the line goes on and moved to `taken`, or to `refused` with the reason beside it.
#pragma once

#include <chrono>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <thread>

#include "analytics/result.h"
#include "kiosk/app/task_queue.h"
#include "kiosk/text/result_file.h"

namespace lastlook::app {

class Incoming {
 public:
  struct Parts {
    std::filesystem::path folder;  // made where it is not there
    MainQueue& main;
    // On the window's thread. An error of category bad_input refuses the file, after any other it
    // is tried again.
    std::function<Status(const text::ResultFile&)> take;
    // What a person must know, on the window's thread.
    std::function<void(const std::string&)> tell;
    std::chrono::milliseconds every{2000};
  };
  explicit Incoming(Parts parts);
  ~Incoming();  // waits for the file under way

 private:
  void watch(const std::stop_token& stop);
  void look(const std::stop_token& stop);
  void take_file(const std::filesystem::path& file, const std::stop_token& stop);
  std::optional<Status> offer(text::ResultFile rows, const std::stop_token& stop);
  void put_aside(const std::filesystem::path& file, const Error& error);
  void say(const std::string& trouble);

  Parts parts_;
  std::string said_;  // last, so that what lasts is said once
  std::jthread thread_;
};

}  // namespace lastlook::app
