// SPDX-License-Identifier: Apache-2.0
// The one way from other threads to the window's thread, and a thread for work that takes longer
// than a frame.
#pragma once

#include <condition_variable>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

#include "analytics/result.h"

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

// What the work throws is its error: nothing that a task meets ends the program.
template <class Work>
std::invoke_result_t<Work&> guarded(Work& work) {
  try {
    return work();
  } catch (const std::exception& thrown) {
    return fail(Category::io, thrown.what());
  }
}

// Tasks one after the other.
class TaskThread {
 public:
  TaskThread();
  ~TaskThread();  // waits for the task under way; those not begun are dropped

  // work gives a Result, elsewhere; `then` takes it, by the main queue. Both can be copied.
  template <class Work, class Then>
  void run(MainQueue& main, Work work, Then then) {
    push([&main, work = std::move(work), then = std::move(then)]() mutable {
      main.post([then = std::move(then), result = guarded(work)] { then(result); });
    });
  }

 private:
  void push(std::function<void()> task);
  void work(const std::stop_token& stop);

  std::mutex mutex_;
  std::condition_variable_any changed_;
  std::vector<std::function<void()>> waiting_;
  std::jthread thread_;
};

}  // namespace lastlook::app
