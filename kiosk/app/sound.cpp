// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/sound.h"

#include <AL/al.h>
#include <AL/alc.h>

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <optional>
#include <vector>

namespace lastlook::app {
namespace {

using namespace std::chrono_literals;

constexpr auto latest = 1s;
constexpr auto pause_without_device = 10min;  // the audio libraries complain each time
constexpr auto drained = 150ms;               // what a device may still hold when the mixer is done

struct CloseDevice {
  void operator()(ALCdevice* device) const { alcCloseDevice(device); }
};
using Device = std::unique_ptr<ALCdevice, CloseDevice>;

struct EndContext {
  void operator()(ALCcontext* context) const {
    alcMakeContextCurrent(nullptr);
    alcDestroyContext(context);
  }
};
using Context = std::unique_ptr<ALCcontext, EndContext>;

// In a current context, to its end.
void play_to_end(Tone tone, const std::atomic<bool>& stop) {
  // Both sides: one side alone the library would put into a room, and take its loudness away.
  std::vector<std::int16_t> samples;
  for (const std::int16_t sample : samples_of(tone)) samples.insert(samples.end(), 2, sample);
  ALuint buffer = 0, source = 0;
  alGenBuffers(1, &buffer);
  alGenSources(1, &source);
  alBufferData(buffer, AL_FORMAT_STEREO16, samples.data(),
               static_cast<ALsizei>(samples.size() * sizeof(samples[0])), tone_rate_hz);
  alSourcei(source, AL_BUFFER, static_cast<ALint>(buffer));
  alSourcePlay(source);
  for (ALint state = AL_PLAYING; state == AL_PLAYING && !stop;) {
    std::this_thread::sleep_for(10ms);
    alGetSourcei(source, AL_SOURCE_STATE, &state);
    if (alGetError() != AL_NO_ERROR) break;
  }
  if (!stop) std::this_thread::sleep_for(drained);
  alDeleteSources(1, &source);
  alDeleteBuffers(1, &buffer);
}

// False: no device.
bool play_on_device(Tone tone, const std::atomic<bool>& stop) {
  const Device device(alcOpenDevice(nullptr));
  if (!device) return false;
  const Context context(alcCreateContext(device.get(), nullptr));
  if (!context || alcMakeContextCurrent(context.get()) != ALC_TRUE) return false;
  play_to_end(tone, stop);
  return true;
}

}  // namespace

struct Loudspeaker::Work {
  using Clock = std::chrono::steady_clock;

  std::mutex mutex;
  std::condition_variable changed;
  std::optional<Tone> next;
  Clock::time_point asked_at;
  std::atomic<bool> stop = false;
  bool ended = false;

  void run();
};

void Loudspeaker::Work::run() {
  Clock::time_point silent_until;
  std::unique_lock lock(mutex);
  for (;;) {
    changed.wait(lock, [this] { return stop || next; });
    if (stop) break;
    const Tone tone = *next;
    next.reset();
    const auto now = Clock::now();
    if (now - asked_at > latest || now < silent_until) continue;
    lock.unlock();
    const bool played = play_on_device(tone, stop);
    lock.lock();
    if (!played) silent_until = Clock::now() + pause_without_device;
  }
  ended = true;
  changed.notify_all();
}

Loudspeaker::Loudspeaker()
    : work_(std::make_shared<Work>()), thread_([work = work_] { work->run(); }) {}

Loudspeaker::~Loudspeaker() {
  std::unique_lock lock(work_->mutex);
  work_->stop = true;
  work_->changed.notify_all();
  const bool ended = work_->changed.wait_for(lock, 1s, [this] { return work_->ended; });
  lock.unlock();
  if (ended)
    thread_.join();
  else
    thread_.detach();
}

void Loudspeaker::play(Tone tone) {
  const std::lock_guard lock(work_->mutex);
  work_->next = tone;
  work_->asked_at = Work::Clock::now();
  work_->changed.notify_all();
}

std::string loudspeaker_found() {
  const Device device(alcOpenDevice(nullptr));
  if (!device) return {};
  const char* name = alcGetString(device.get(), ALC_DEVICE_SPECIFIER);
  return name && *name ? name : "default";
}

}  // namespace lastlook::app
