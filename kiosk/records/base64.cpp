// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/base64.h"

#include <sodium.h>

namespace lastlook::records {
namespace {

constexpr int variant = sodium_base64_VARIANT_ORIGINAL;

}  // namespace

std::string to_base64(std::span<const unsigned char> bytes) {
  std::string text(sodium_base64_encoded_len(bytes.size(), variant), '\0');
  sodium_bin2base64(text.data(), text.size(), bytes.data(), bytes.size(), variant);
  text.pop_back();  // its zero
  return text;
}

std::optional<std::vector<unsigned char>> from_base64(std::string_view text) {
  if (text.empty()) return std::vector<unsigned char>{};
  std::vector<unsigned char> bytes(text.size());
  std::size_t size = 0;
  if (sodium_base642bin(bytes.data(), bytes.size(), text.data(), text.size(), "\r\n", &size,
                        nullptr, variant) != 0)
    return std::nullopt;
  bytes.resize(size);
  return bytes;
}

}  // namespace lastlook::records
