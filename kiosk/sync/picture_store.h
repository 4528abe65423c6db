// SPDX-License-Identifier: Apache-2.0
// Pictures in a plant's store, each beside the journal whose entries name it. They come in parts,
// so that a link that breaks loses one part and no more.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::sync {

inline constexpr std::int64_t largest_part = 1 << 20;       // bytes
inline constexpr std::int64_t largest_picture = 64L << 20;  // bytes

struct PictureName {
  std::string journal;
  std::string picture;  // hash of its bytes, hex
};

struct HeldPicture {
  std::int64_t bytes = 0;  // that came
  bool whole = false;
};

// Errors of every call: io, busy, damaged, as PlantStore has them.
class PictureStore {
 public:
  virtual ~PictureStore() = default;

  // Up to which entry of a journal all pictures came that should; 0: nothing is known. The store
  // keeps it, so that a station needs no note about each place that it sends to.
  virtual Result<std::int64_t> complete_to(const std::string& journal) = 0;
  virtual Status note_complete_to(const std::string& journal, std::int64_t seq) = 0;

  virtual Result<HeldPicture> held(const PictureName& name) = 0;
  // Adds bytes, durable when it returns; with the last of them the picture is whole. refused: they
  // do not begin where the bytes that came end, the store has no such journal, they are more than
  // largest_part or largest_picture; or where the store can tell, the bytes are not those of that
  // hash, and then all that came is dropped.
  virtual Status take(const PictureName& name, std::int64_t from,
                      std::span<const unsigned char> part, bool last) = 0;

  virtual Result<std::vector<std::string>> whole(const std::string& journal) = 0;  // sorted
  // not_found: it is not here, or not whole; damaged: its bytes have another hash.
  virtual Result<std::string> bytes(const PictureName& name) = 0;
};

}  // namespace lastlook::sync
