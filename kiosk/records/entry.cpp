// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/entry.h"

#include <sodium.h>
#include <algorithm>

#include <nlohmann/json.hpp>
#include <string_view>

#include "kiosk/records/fields.h"
#include "kiosk/records/json_fields.h"

namespace lastlook::records {
namespace {

template <class Io>
void fields(Io& io, Either<Stamp> auto& it) {
  io("wall_us", it.reading.wall_us);
  io("mono_us", it.reading.mono_us);
  io("boot", it.reading.boot);
  io("offset_min", it.reading.offset_min);
  io("calendar_revision", it.calendar_revision);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
}

class Hasher {
 public:
  Hasher() { crypto_generichash_init(&state_, nullptr, 0, sizeof(Hash)); }

  void add(std::string_view bytes) {
    std::array<unsigned char, 8> length{};
    for (std::size_t i = 0; i < length.size(); ++i)
      length[i] = static_cast<unsigned char>(bytes.size() >> (8 * i));
    crypto_generichash_update(&state_, length.data(), length.size());
    crypto_generichash_update(&state_, reinterpret_cast<const unsigned char*>(bytes.data()),
                              bytes.size());
  }

  Hash finish() {
    Hash hash{};
    crypto_generichash_final(&state_, hash.data(), hash.size());
    return hash;
  }

 private:
  crypto_generichash_state state_;
};

}  // namespace

Hash hash_from_bytes(const std::string& bytes) {
  Hash hash{};
  if (bytes.size() == hash.size()) std::ranges::copy(bytes, hash.begin());
  return hash;
}

std::string to_hex(const Hash& hash) {
  std::string hex(hash.size() * 2 + 1, '\0');
  sodium_bin2hex(hex.data(), hex.size(), hash.data(), hash.size());
  hex.pop_back();
  return hex;
}

std::string write_stamp(const Stamp& stamp) {
  Json json = Json::object();
  JsonWriter io{json};
  fields(io, stamp);
  return write_json(json);
}

Result<Stamp> read_stamp(const std::string& text) {
  const Json json = Json::parse(text, nullptr, false);
  if (!json.is_object()) return fail(Category::damaged, "the time stamp is not a JSON object");
  Stamp stamp;
  JsonReader io(json);
  fields(io, stamp);
  if (!io.error().empty()) return fail(Category::damaged, "the time stamp: " + io.error());
  return stamp;
}

Hash hash_of(const Entry& entry) {
  Hasher hasher;
  hasher.add("lastlook entry 1");
  hasher.add(entry.journal);
  hasher.add(std::to_string(entry.seq));
  hasher.add(entry.stamp);
  hasher.add(entry.actor);
  hasher.add(entry.kind);
  hasher.add(std::to_string(entry.version));
  hasher.add(entry.body);
  hasher.add({reinterpret_cast<const char*>(entry.previous.data()), entry.previous.size()});
  return hasher.finish();
}

}  // namespace lastlook::records
