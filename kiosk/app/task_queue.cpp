// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/task_queue.h"

namespace lastlook::app {

void MainQueue::post(std::function<void()> work) {
  {
    const std::lock_guard lock(mutex_);
    waiting_.push_back(std::move(work));
  }
  wake_();
}

bool MainQueue::run() {
  std::vector<std::function<void()>> taken;
  {
    const std::lock_guard lock(mutex_);
    taken.swap(waiting_);
  }
  for (const auto& work : taken) work();
  return !taken.empty();
}

TaskThread::TaskThread() : thread_([this](const std::stop_token& stop) { work(stop); }) {}

TaskThread::~TaskThread() {
  thread_.request_stop();
  changed_.notify_all();
}

void TaskThread::push(std::function<void()> task) {
  {
    const std::lock_guard lock(mutex_);
    waiting_.push_back(std::move(task));
  }
  changed_.notify_one();
}

void TaskThread::work(const std::stop_token& stop) {
  while (!stop.stop_requested()) {
    std::function<void()> task;
    {
      std::unique_lock lock(mutex_);
      if (!changed_.wait(lock, stop, [this] { return !waiting_.empty(); })) return;
      task = std::move(waiting_.front());
      waiting_.erase(waiting_.begin());
    }
    task();
  }
}

}  // namespace lastlook::app
