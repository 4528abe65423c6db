// SPDX-License-Identifier: Apache-2.0
// Bytes as text, RFC 4648 section 4 (with padding): pictures within a document.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace lastlook::records {

std::string to_base64(std::span<const unsigned char> bytes);

// Line ends in the text are passed over. nullopt: it is not base64.
std::optional<std::vector<unsigned char>> from_base64(std::string_view text);

}  // namespace lastlook::records
