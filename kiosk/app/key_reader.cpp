// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/key_reader.h"

namespace lastlook::app {

using screens::Key;

void KeyReader::typed(Time at) {
  typed_ = at;
  kept_.reset();
}

void KeyReader::pressed(Key key, Time at) {
  if (moves(key)) {
    if (!in_burst(at)) moves_.push_back({key, at});
    return;
  }
  const bool repeats = last_ && last_->key == key && at - last_->at < screens::Touch::guard;
  last_ = Press{key, at};
  if (repeats || kept_)  // two at once say nothing
    kept_.reset();
  else if (!in_burst(at))
    kept_ = last_;
}

std::optional<Key> KeyReader::next(Time now) {
  if (!moves_.empty()) {
    const Key key = moves_.front().key;
    moves_.pop_front();
    return key;
  }
  if (!kept_ || now <= kept_->at + ScannerReader::longest_pause) return std::nullopt;
  const Key key = kept_->key;
  kept_.reset();
  return key;
}

std::optional<KeyReader::Time> KeyReader::next_at() const {
  if (!moves_.empty()) return moves_.front().at;
  if (kept_) return kept_->at + ScannerReader::longest_pause + Time{1};
  return std::nullopt;
}

}  // namespace lastlook::app
