// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/touch.h"

namespace lastlook::screens {

void Touch::begin_frame(const Pointer& pointer, std::chrono::milliseconds now,
                        std::string_view by_key) {
  // Lifted in the frame before and claimed by nobody, or put down anew.
  if (pointer.pressed || (!pointer.down && !pointer.released)) held_.clear();
  pointer_ = pointer;
  now_ = now;
  by_key_ = by_key;
}

bool Touch::on(std::string_view key, const Rect& rect) {
  if (at(key, rect)) return true;
  if (by_key_.empty() || by_key_ != key || too_soon()) return false;
  by_key_.clear();
  held_.clear();
  counted_ = now_;
  return true;
}

std::optional<Spot> Touch::at(std::string_view key, const Rect& rect) {
  const bool inside = rect.contains(pointer_.at);
  if (pointer_.pressed && inside && !too_soon()) held_ = key;
  if (!pointer_.released || !inside || !holds(key)) return std::nullopt;
  held_.clear();
  counted_ = now_;
  return pointer_.at;
}

std::optional<Touch::Drag> Touch::drag(std::string_view key, const Rect& rect) {
  if (pointer_.pressed && rect.contains(pointer_.at) && !too_soon()) {
    held_ = key;
    held_from_ = pointer_.at;
  }
  if (!holds(key)) return std::nullopt;
  if (!pointer_.released) return Drag{held_from_, pointer_.at, false};
  held_.clear();
  counted_ = now_;
  return Drag{held_from_, pointer_.at, true};
}

}  // namespace lastlook::screens
