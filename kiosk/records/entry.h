// SPDX-License-Identifier: Apache-2.0
// One entry of a journal as it is stored, and the hash that chains it to the one before.
#pragma once

#include <array>
#include <cstdint>
#include <string>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"

namespace lastlook::records {

using Hash = std::array<unsigned char, 32>;  // BLAKE2b-256
std::string to_hex(const Hash& hash);
// Bytes of another length than a hash has give a zero one: it then fails every comparison.
Hash hash_from_bytes(const std::string& bytes);

// When and where in the calendar an entry was made; fixed when it is written. Stored as one line of
// text, and that text is what the hash covers.
struct Stamp {
  domain::Reading reading;
  std::int64_t calendar_revision = 0;  // of the master data that fixed the next two
  std::string production_date, shift;
  int quarter = 0;
};
std::string write_stamp(const Stamp& stamp);
Result<Stamp> read_stamp(const std::string& text);

// The bytes as stored. Never re-serialised.
struct Entry {
  std::string journal;   // 32 hex digits
  std::int64_t seq = 0;  // from 1
  std::string stamp;
  std::string actor;  // pseudonymous person id, or "station"
  std::string kind;
  std::int64_t version = 1;  // of the body's form
  std::string body;          // JSON
  Hash previous{};           // of seq-1; zero for the first
  Hash hash{};
};

// BLAKE2b over ("lastlook entry 1", journal, seq, stamp, actor, kind, version, body, previous),
// each preceded by its length as 8 bytes, least significant first; integers as decimal text.
Hash hash_of(const Entry& entry);

// The happening in a body, of any version ever written (pure upcasters). damaged: kind, version,
// field.
Result<domain::Happening> decode(const Entry& entry);
std::string encode(const domain::Happening& happening);  // body of the newest version
std::int64_t newest_version(const domain::Happening& happening);

}  // namespace lastlook::records
