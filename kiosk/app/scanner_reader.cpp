// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/scanner_reader.h"

namespace lastlook::app {
namespace {

void append_utf8(std::string& out, char32_t c) {
  const auto byte = [&](char32_t value) { out += static_cast<char>(value); };
  if (c < 0x80) {
    byte(c);
  } else if (c < 0x800) {
    byte(0xC0U | (c >> 6U));
    byte(0x80U | (c & 0x3FU));
  } else if (c < 0x10000) {
    byte(0xE0U | (c >> 12U));
    byte(0x80U | ((c >> 6U) & 0x3FU));
    byte(0x80U | (c & 0x3FU));
  } else {
    byte(0xF0U | (c >> 18U));
    byte(0x80U | ((c >> 12U) & 0x3FU));
    byte(0x80U | ((c >> 6U) & 0x3FU));
    byte(0x80U | (c & 0x3FU));
  }
}

}  // namespace

void ScannerReader::character(char32_t c, Time at) {
  if (last_ && at - *last_ > longest_pause) code_.clear();
  last_ = at;
  if (code_.size() < longest_code) append_utf8(code_, c);
}

std::optional<std::string> ScannerReader::enter(Time at) {
  const bool burst = last_ && at - *last_ <= longest_pause;
  std::string code = std::move(code_);
  code_.clear();
  last_.reset();
  if (!burst || code.size() < 2) return std::nullopt;
  return code;
}

}  // namespace lastlook::app
