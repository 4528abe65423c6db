// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/checkup.h"

#include <fmt/format.h>

namespace lastlook::commands {

std::string shell_word(const std::filesystem::path& path) {
  const std::string text = path.string();
  const bool plain = text.find_first_not_of(
                         "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                         "0123456789/._-+:@%=,") == std::string::npos;
  if (plain && !text.empty()) return text;
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

std::string for_a_time(std::int64_t us) {
  const std::int64_t minutes = us / 60'000'000, hours = minutes / 60, days = hours / 24;
  const auto in = [](std::int64_t n, const char* unit) {
    return fmt::format("{} {}{}", n, unit, n == 1 ? "" : "s");
  };
  if (days >= 2) return in(days, "day");
  if (hours >= 2) return in(hours, "hour");
  return in(minutes, "minute");
}

Check from_error(std::string what, Outcome outcome, const Error& error, std::string mend) {
  const std::size_t at = error.message.rfind("; ");
  if (at == std::string::npos) return {std::move(what), outcome, error.message, std::move(mend)};
  return {std::move(what), outcome, error.message.substr(0, at), error.message.substr(at + 2)};
}

}  // namespace lastlook::commands
