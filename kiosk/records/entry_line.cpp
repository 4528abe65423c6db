// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/entry_line.h"

#include <fmt/format.h>
#include <sodium.h>

#include "kiosk/records/json_fields.h"

namespace lastlook::records {

std::string write_line(const Entry& entry) {
  return write_json({{"journal", entry.journal},
                     {"seq", entry.seq},
                     {"stamp", entry.stamp},
                     {"actor", entry.actor},
                     {"kind", entry.kind},
                     {"version", entry.version},
                     {"body", entry.body},
                     {"previous", to_hex(entry.previous)},
                     {"hash", to_hex(entry.hash)}});
}

Result<Hash> hash_from_hex(const std::string& hex) {
  Hash hash{};
  std::size_t size = 0;
  if (sodium_hex2bin(hash.data(), hash.size(), hex.data(), hex.size(), nullptr, &size, nullptr) ==
          0 &&
      size == hash.size() && hex.size() == 2 * size)
    return hash;
  return fail(Category::bad_input, fmt::format("'{}' is no hash, expected 64 hex digits", hex));
}

Result<Entry> read_line(const std::string& line) {
  const Json json = Json::parse(line, nullptr, false);
  if (!json.is_object()) return fail(Category::bad_input, "is no JSON object");
  Entry entry;
  Status good;
  const auto take = [&](const char* name, auto& into) {
    using T = std::decay_t<decltype(into)>;
    const auto at = json.find(name);
    const bool fits = at != json.end() &&
                      (std::is_same_v<T, std::string> ? at->is_string() : at->is_number_integer());
    if (fits)
      into = at->template get<T>();
    else if (good)
      good = fail(Category::bad_input, fmt::format("'{}' is missing or of another type", name));
  };
  std::string previous, hash;
  take("journal", entry.journal);
  take("seq", entry.seq);
  take("stamp", entry.stamp);
  take("actor", entry.actor);
  take("kind", entry.kind);
  take("version", entry.version);
  take("body", entry.body);
  take("previous", previous);
  take("hash", hash);
  if (!good) return tl::unexpected(good.error());
  for (const auto& [hex, into] : {std::pair{&previous, &entry.previous}, {&hash, &entry.hash}}) {
    const auto read = hash_from_hex(*hex);
    if (!read) return tl::unexpected(read.error());
    *into = *read;
  }
  return entry;
}

}  // namespace lastlook::records
