// SPDX-License-Identifier: Apache-2.0
// The camera assist on its own thread: reads the tag in the newest frame, and judges the unit whose
// look is open once a frame shows that unit's tag.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "kiosk/capture/camera.h"
#include "kiosk/capture/opinion.h"

namespace lastlook::capture {

struct AssistOptions {
  // Least time between two tries, so that a camera at 30 frames a second does not cost a core.
  std::chrono::milliseconds least_pause{200};
};

// Any thread may call it. The callbacks come from its thread, must return soon (post to the
// program's queue) and must not call it. None comes after the destructor returned, which waits for
// a judgement under way (tens of milliseconds).
class Assist {
 public:
  struct Callbacks {
    // Once an opinion for each ask(); before it, each reason for having none when it changes.
    std::function<void(Assistance)> assistance;
    // The codes in view when they change, while nothing is asked: to be offered as the serial.
    std::function<void(std::vector<std::string>)> codes;
  };

  Assist(std::shared_ptr<const Camera> camera, Callbacks callbacks, AssistOptions options = {});
  ~Assist();
  Assist(const Assist&) = delete;
  Assist& operator=(const Assist&) = delete;

  // Between units. refused: model and master contradict each other (see agree()); what was in use
  // before stays.
  Status use(const vision::Model& model, const domain::Master& master);
  // From now on about this look; replaces what was asked before. Asked again with the same look it
  // judges the newest frame again ("look again").
  void ask(Asked asked);
  // The look is closed or parked. A result under way may still come: it names its look.
  void drop();
  void watch_codes(bool on);  // off at first
  void frame_arrived();       // the camera's listener calls this

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace lastlook::capture
