// SPDX-License-Identifier: Apache-2.0
// What every store of pictures checks about the bytes.
#pragma once

#include <span>
#include <string>

#include "analytics/result.h"
#include "kiosk/sync/picture_store.h"

namespace lastlook::sync {

// refused: the name is no hash, or the part is too large, or none of the picture's.
Status check_part(const PictureName& name, const HeldPicture& held, std::int64_t from,
                  std::span<const unsigned char> part);

bool has_hash(const std::string& bytes, const std::string& picture);

tl::unexpected<Error> not_here(const PictureName& name);
tl::unexpected<Error> other_bytes(const PictureName& name, Category category);

}  // namespace lastlook::sync
