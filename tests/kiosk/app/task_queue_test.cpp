// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/task_queue.h"

#include <gtest/gtest.h>

#include <atomic>
#include <stdexcept>

namespace lastlook::app {
namespace {

TEST(MainQueue, RunsWhatOtherThreadsPostInOrderAndWakesTheLoop) {
  std::atomic<int> woken = 0;
  MainQueue queue([&] { ++woken; });
  std::vector<int> seen;
  std::thread([&] {
    for (int i = 0; i < 100; ++i) queue.post([&seen, i] { seen.push_back(i); });
  }).join();
  EXPECT_TRUE(queue.run());
  EXPECT_FALSE(queue.run());
  EXPECT_EQ(woken, 100);
  ASSERT_EQ(seen.size(), 100U);
  EXPECT_EQ(seen.back(), 99);
}

TEST(MainQueue, LetsWorkPostMoreWork) {
  MainQueue queue([] {});
  int runs = 0;
  queue.post([&] { queue.post([&] { ++runs; }); });
  EXPECT_TRUE(queue.run());
  EXPECT_EQ(runs, 0);
  EXPECT_TRUE(queue.run());
  EXPECT_EQ(runs, 1);
}

void wait_for(MainQueue& queue, const bool& done) {
  while (!done) {
    queue.run();
    std::this_thread::yield();
  }
}

TEST(TaskThread, WorksElsewhereAndTellsHere) {
  MainQueue queue([] {});
  TaskThread tasks;
  const auto here = std::this_thread::get_id();
  bool done = false;
  tasks.run(
      queue, [] { return Result<std::thread::id>(std::this_thread::get_id()); },
      [&](const Result<std::thread::id>& where) {
        EXPECT_NE(*where, here);
        EXPECT_EQ(std::this_thread::get_id(), here);
        done = true;
      });
  wait_for(queue, done);
}

TEST(TaskThread, GivesBackWhatWasThrownAsAnErrorAndGoesOn) {
  MainQueue queue([] {});
  TaskThread tasks;
  std::vector<std::string> said;
  bool done = false;
  tasks.run(
      queue, []() -> Status { throw std::runtime_error("no memory for a picture that large"); },
      [&](const Status& result) { said.push_back(result ? "" : result.error().message); });
  tasks.run(
      queue, [] { return Status(); }, [&](const Status& result) { done = result.has_value(); });
  wait_for(queue, done);
  EXPECT_EQ(said, std::vector<std::string>{"no memory for a picture that large"});
}

TEST(TaskThread, EndsWithTasksLeft) {
  std::atomic<int> done = 0;
  {
    MainQueue queue([] {});
    TaskThread tasks;
    for (int i = 0; i < 1000; ++i)
      tasks.run(
          queue,
          [&] {
            ++done;
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
            return Status();
          },
          [](const Status&) {});
  }
  EXPECT_LT(done, 1000);  // all would take 20 s
}

}  // namespace
}  // namespace lastlook::app
