// SPDX-License-Identifier: Apache-2.0
// Which target a finger is on. A touch counts where it was put down and lifted on the same target;
// sliding off takes it back. A key touches the target that it names. Pure.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "kiosk/screens/rect.h"

namespace lastlook::screens {

// The pointer in this frame. A press and a release never share a frame (app/pointer_reader.h).
struct Pointer {
  Spot at;
  bool down = false;
  bool pressed = false;                             // went down in this frame
  bool released = false;                            // was lifted in this frame
  std::chrono::steady_clock::time_point lifted_at;  // when, if so
};

// What can be touched on a screen.
struct Target {
  std::string key;
  Rect area;
  bool by_key = true;  // no: where in it counts too, as on a picture, and a key cannot say that
};

class Touch {
 public:
  // A finger that hits twice where it meant once must not answer the next question too: what is
  // put down this soon after a touch that counted is no touch.
  static constexpr std::chrono::milliseconds guard{200};

  // by_key: the target that a key touches in this frame; empty: none.
  void begin_frame(const Pointer& pointer, std::chrono::milliseconds now,
                   std::string_view by_key = {});
  // True in the frame in which a touch on this target counts, by a finger or a key.
  bool on(std::string_view key, const Rect& rect);
  // The same by a finger, and where.
  std::optional<Spot> at(std::string_view key, const Rect& rect);
  // A finger put down in it and not lifted yet, wherever it now is; ended: lifted in this frame.
  struct Drag {
    Spot from, at;
    bool ended = false;
  };
  std::optional<Drag> drag(std::string_view key, const Rect& rect);
  bool holds(std::string_view key) const { return !held_.empty() && held_ == key; }
  const Pointer& pointer() const { return pointer_; }
  // What is drawn has changed under the finger: what was put down counts for nothing.
  void forget() { held_.clear(); }

 private:
  bool too_soon() const { return counted_ && now_ - *counted_ < guard; }

  Pointer pointer_;
  std::string by_key_;
  std::string held_;
  Spot held_from_;
  std::chrono::milliseconds now_{0};
  std::optional<std::chrono::milliseconds> counted_;
};

}  // namespace lastlook::screens
