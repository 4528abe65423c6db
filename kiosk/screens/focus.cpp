// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/focus.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

namespace lastlook::screens {
namespace {

// The same seen so that the direction is to the right.
Rect turned(const Rect& r, Key direction) {
  switch (direction) {
    case Key::left:
      return {-r.right(), r.y, r.w, r.h};
    case Key::up:
      return {-r.bottom(), r.x, r.h, r.w};
    case Key::down:
      return {r.y, r.x, r.h, r.w};
    default:
      return r;
  }
}

constexpr float nowhere = std::numeric_limits<float>::infinity();

constexpr float aside = 10000;  // more than any window is wide

// How far it is to the right from one to the other. What lies beside the way comes after all that
// lies on it.
float way(const Rect& from, const Rect& to) {
  if (to.x < from.centre().x) return nowhere;
  const float along = std::max(0.0F, to.x - from.right());
  const float beside = std::max({0.0F, to.y - from.bottom(), from.y - to.bottom()});
  return along + (beside > 0 ? aside + 3 * beside : 0) +
         0.05F * std::abs(to.centre().y - from.centre().y);
}

}  // namespace

void Focus::shown(const std::vector<Target>& targets) {
  shown_.clear();
  std::copy_if(targets.begin(), targets.end(), std::back_inserter(shown_),
               [](const Target& target) { return target.by_key; });
  if (!find(key_)) key_.clear();
}

void Focus::forget() {
  shown_.clear();
  key_.clear();
}

const Target* Focus::find(std::string_view key) const {
  const auto found = std::find_if(shown_.begin(), shown_.end(),
                                  [&](const Target& target) { return target.key == key; });
  return found == shown_.end() ? nullptr : &*found;
}

std::string Focus::pressed(Key key) {
  if (moves(key)) {
    move(key);
    return {};
  }
  if (key == Key::help) return {};  // not by a target
  const std::string touched = key == Key::conforming      ? "answer.conforming"
                              : key == Key::nonconforming ? "answer.nonconforming"
                                                          : key_;
  return find(touched) ? touched : std::string();
}

void Focus::move(Key direction) {
  if (shown_.empty()) return;
  const Target* const at = find(key_);
  if (!at || direction == Key::first) {
    key_ = std::min_element(shown_.begin(), shown_.end(), [](const Target& a, const Target& b) {
             return std::tuple(a.area.y, a.area.x) < std::tuple(b.area.y, b.area.x);
           })->key;
    return;
  }
  float left = nowhere, right = -nowhere;  // of all
  for (const Target& target : shown_) {
    left = std::min(left, turned(target.area, direction).x);
    right = std::max(right, turned(target.area, direction).right());
  }
  const auto go = [&](const Rect& from) {
    float shortest = nowhere;
    for (const Target& target : shown_) {
      const float far = &target == at ? nowhere : way(from, turned(target.area, direction));
      if (far >= shortest) continue;
      shortest = far;
      key_ = target.key;
    }
    return shortest < nowhere;
  };
  Rect from = turned(at->area, direction);
  if (go(from)) return;
  from.x -= right - left;  // round, from the other side
  go(from);
}

}  // namespace lastlook::screens
