// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/task_queue.h"

#include <gtest/gtest.h>

#include <atomic>
#include <future>

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

TEST(TaskThread, WorksElsewhere) {
  TaskThread tasks;
  std::promise<std::thread::id> where;
  tasks.run([&] { where.set_value(std::this_thread::get_id()); });
  EXPECT_NE(where.get_future().get(), std::this_thread::get_id());
}

TEST(TaskThread, EndsWithTasksLeft) {
  std::atomic<int> done = 0;
  {
    TaskThread tasks;
    for (int i = 0; i < 1000; ++i)
      tasks.run([&] {
        ++done;
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
      });
  }
  EXPECT_LT(done, 1000);  // all would take 20 s
}

}  // namespace
}  // namespace lastlook::app
