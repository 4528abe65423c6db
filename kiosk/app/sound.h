// SPDX-License-Identifier: Apache-2.0
// Plays tones on a thread of its own: a device that is slow, or not there, never delays a touch.
#pragma once

#include <memory>
#include <string>
#include <thread>

#include "kiosk/app/tone.h"

namespace lastlook::app {

class Sound {
 public:
  virtual ~Sound() = default;
  virtual void play(Tone tone) = 0;  // returns at once
};

// The machine's loudspeaker, open only while a tone sounds: at rest nothing is mixed, and one that
// was plugged in later is found. Where there is none it is silent, and asks again after minutes.
class Loudspeaker final : public Sound {
 public:
  Loudspeaker();
  ~Loudspeaker() override;  // waits a second at most, also for a device that hangs
  // A tone that could not begin within a second is dropped: late, it would tell of another unit.
  void play(Tone tone) override;

 private:
  struct Work;  // what the thread shares; outlives this where a device hangs
  std::shared_ptr<Work> work_;
  std::thread thread_;
};

// The device's name; empty: there is none. Plays nothing.
std::string loudspeaker_found();

}  // namespace lastlook::app
