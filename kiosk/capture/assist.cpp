// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/assist.h"

#include <algorithm>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <thread>

#include "vision/tag.h"

namespace lastlook::capture {
namespace {

using std::chrono::milliseconds;

std::vector<std::string> texts_of(const std::vector<vision::TagReading>& readings) {
  std::vector<std::string> texts;
  for (const auto& reading : readings) texts.push_back(reading.text);
  std::ranges::sort(texts);
  return texts;
}

}  // namespace

struct Assist::Inside {
  std::shared_ptr<const Camera> camera;
  Callbacks callbacks;
  AssistOptions options;

  std::mutex mutex;  // of what follows, down to stopping
  std::condition_variable changed;
  std::shared_ptr<UnitsJudge> judge;  // replaced whole; used by the thread only
  std::optional<Asked> asked;
  std::int64_t questions = 0;  // counts ask(), drop() and use(): an answer to an older one is late
  bool answered = false;
  bool watching = false;
  bool news = false;  // something to look at
  bool stopping = false;

  // The thread's own:
  std::int64_t last_frame = 0;  // tried for last_question
  std::int64_t last_question = 0;
  std::optional<Withheld> last_reason;
  std::int64_t codes_frame = 0;
  std::vector<std::string> last_codes;
  std::thread thread;

  void run();
  void wait_for_news();
  void pause();
  void one_try();
  void try_to_judge(const Asked& question, std::int64_t number, UnitsJudge* judge_now);
  void deliver(Assistance assistance, std::int64_t number);
  void read_codes();
  Assistance assistance_for(const Asked& question, UnitsJudge* judge_now, const FramePtr& frame);
};

void Assist::Inside::run() {
  while (true) {
    wait_for_news();
    {
      const std::lock_guard lock(mutex);
      if (stopping) return;
    }
    one_try();
    pause();
  }
}

void Assist::Inside::wait_for_news() {
  std::unique_lock lock(mutex);
  const auto has_news = [this] { return news || stopping; };
  if (asked && !answered) {
    // A stall brings no frame: its reason is found by looking.
    const milliseconds longest = std::min(camera->status_holds_for(), milliseconds(1000));
    changed.wait_for(lock, longest, has_news);
  } else {
    changed.wait(lock, has_news);
  }
  news = false;
}

void Assist::Inside::pause() {
  std::unique_lock lock(mutex);
  const std::int64_t before = questions;
  changed.wait_for(lock, options.least_pause, [&] { return stopping || questions != before; });
}

void Assist::Inside::one_try() {
  std::unique_lock lock(mutex);
  const std::optional<Asked> question = answered ? std::nullopt : asked;
  const std::int64_t number = questions;
  const std::shared_ptr<UnitsJudge> judge_now = judge;
  const bool reads_codes = watching && !asked;
  lock.unlock();
  if (question) {
    try_to_judge(*question, number, judge_now.get());
  } else if (reads_codes) {
    read_codes();
  }
}

void Assist::Inside::try_to_judge(const Asked& question, std::int64_t number,
                                  UnitsJudge* judge_now) {
  if (number != last_question) {
    last_question = number;
    last_frame = 0;
    last_reason.reset();
  }
  const FramePtr frame = camera->latest();
  const bool is_running = camera->status().state == CameraState::running;
  if (is_running && frame && frame->number == last_frame) return;
  deliver(assistance_for(question, judge_now, is_running ? frame : nullptr), number);
  if (is_running && frame) last_frame = frame->number;
}

Assistance Assist::Inside::assistance_for(const Asked& question, UnitsJudge* judge_now,
                                          const FramePtr& frame) {
  if (judge_now == nullptr) return Withheld{.look = question.look, .why = Withhold::no_model};
  if (!frame) return Withheld{.look = question.look, .why = Withhold::camera_not_ready};
  return judge_now->judge(*frame, question);
}

void Assist::Inside::deliver(Assistance assistance, std::int64_t number) {
  const auto* withheld = std::get_if<Withheld>(&assistance);
  {
    const std::lock_guard lock(mutex);
    if (number != questions) return;  // late
    answered = withheld == nullptr;
  }
  if (withheld != nullptr) {
    const bool is_same =
        last_reason && last_reason->why == withheld->why && last_reason->codes == withheld->codes;
    if (is_same) return;
    last_reason = *withheld;
  }
  if (callbacks.assistance) callbacks.assistance(std::move(assistance));
}

void Assist::Inside::read_codes() {
  const FramePtr frame = camera->latest();
  if (!frame || camera->status().state != CameraState::running) return;
  if (frame->number == codes_frame) return;
  codes_frame = frame->number;
  std::vector<std::string> codes;
  try {
    codes = texts_of(vision::read_tags(frame->picture, vision::Effort::quick));
  } catch (const std::exception&) {
    codes.clear();  // a picture that cannot be read offers no code; the scanner reads it
  }
  if (codes == last_codes) return;
  last_codes = codes;
  if (callbacks.codes) callbacks.codes(std::move(codes));
}

Assist::Assist(std::shared_ptr<const Camera> camera, Callbacks callbacks, AssistOptions options)
    : inside_(std::make_unique<Inside>()) {
  inside_->camera = std::move(camera);
  inside_->callbacks = std::move(callbacks);
  inside_->options = options;
  inside_->thread = std::thread([inside = inside_.get()] { inside->run(); });
}

Assist::~Assist() {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->stopping = true;
  }
  inside_->changed.notify_all();
  inside_->thread.join();
}

Status Assist::use(const vision::Model& model, const domain::Master& master) {
  if (auto agreed = agree(model, master); !agreed) return agreed;
  auto judge = std::make_shared<UnitsJudge>(model, master);
  const std::lock_guard lock(inside_->mutex);
  inside_->judge = std::move(judge);
  ++inside_->questions;
  inside_->news = true;
  inside_->changed.notify_all();
  return {};
}

void Assist::ask(Asked asked) {
  const std::lock_guard lock(inside_->mutex);
  inside_->asked = std::move(asked);
  inside_->answered = false;
  ++inside_->questions;
  inside_->news = true;
  inside_->changed.notify_all();
}

void Assist::drop() {
  const std::lock_guard lock(inside_->mutex);
  inside_->asked.reset();
  ++inside_->questions;
  inside_->news = true;
  inside_->changed.notify_all();
}

void Assist::watch_codes(bool on) {
  const std::lock_guard lock(inside_->mutex);
  inside_->watching = on;
  inside_->news = true;
  inside_->changed.notify_all();
}

void Assist::frame_arrived() {
  const std::lock_guard lock(inside_->mutex);
  inside_->news = true;
  inside_->changed.notify_all();
}

}  // namespace lastlook::capture
