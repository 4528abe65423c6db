// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/picture_bytes.h"

#include <fmt/format.h>

#include "kiosk/records/durable.h"

namespace lastlook::sync {
namespace {

bool is_hex(const std::string& text, std::size_t digits) {
  return text.size() == digits && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

}  // namespace

Status check_part(const PictureName& name, const HeldPicture& held, std::int64_t from,
                  std::span<const unsigned char> part) {
  if (!is_hex(name.journal, 32) || !is_hex(name.picture, 64))
    return fail(Category::refused,
                fmt::format("'{}' of journal '{}' names no picture", name.picture, name.journal));
  if (std::ssize(part) > largest_part || from + std::ssize(part) > largest_picture)
    return fail(Category::refused, fmt::format("picture {}: {} bytes from {} are too many at once",
                                               name.picture.substr(0, 12), part.size(), from));
  if (held.whole || from != held.bytes)
    return fail(Category::refused,
                fmt::format("picture {}: its bytes from {} cannot follow the {} that came",
                            name.picture.substr(0, 12), from, held.bytes));
  return {};
}

bool has_hash(const std::string& bytes, const std::string& picture) {
  return records::to_hex(records::hash_of_bytes(bytes)) == picture;
}

tl::unexpected<Error> not_here(const PictureName& name) {
  return fail(Category::not_found,
              fmt::format("picture {}: the store does not have it", name.picture));
}

tl::unexpected<Error> other_bytes(const PictureName& name, Category category) {
  return fail(category,
              fmt::format("picture {}: its bytes are not those that its name says", name.picture));
}

}  // namespace lastlook::sync
