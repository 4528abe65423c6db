// SPDX-License-Identifier: Apache-2.0
// The one way from other threads to the window's thread, and a thread for work that takes longer
// than a frame.
#pragma once

#include <condition_variable>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace lastlook::app {

class MainQueue {
 public:
  // wake: ends the window's wait; called from the posting thread.
  explicit MainQueue(std::function<void()> wake) : wake_(std::move(wake)) {}
  void post(std::function<void()> work);  // from any thread
  // On the window's thread: takes what is there under the lock, runs it outside. True if any ran.
  bool run();

 private:
  std::function<void()> wake_;
  std::mutex mutex_;
  std::vector<std::function<void()>> waiting_;
};

// Tasks one after the other. What one finds out it posts to the main queue.
class TaskThread {
 public:
  TaskThread();
  ~TaskThread();  // waits for the task under way; those not begun are dropped
  void run(std::function<void()> task);

 private:
  void work(const std::stop_token& stop);

  std::mutex mutex_;
  std::condition_variable_any changed_;
  std::vector<std::function<void()>> waiting_;
  std::jthread thread_;
};

}  // namespace lastlook::app
