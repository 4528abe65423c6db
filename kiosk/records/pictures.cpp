// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/pictures.h"

#include "kiosk/records/durable.h"

namespace lastlook::records {

Pictures::Pictures(std::filesystem::path folder) : folder_(std::move(folder)) {}

Result<std::string> Pictures::keep(std::span<const unsigned char> bytes) {
  const std::string name =
      to_hex(hash_of_bytes({reinterpret_cast<const char*>(bytes.data()), bytes.size()}));
  // A whole one was synced before its name was given out; a broken one is written again.
  const auto known = is_whole(name);
  if (known && *known) return name;
  const auto path = path_of(name);
  if (Status done = make_folder(path.parent_path()); !done) return tl::unexpected(done.error());
  if (Status done = write_durably(path, bytes); !done) return tl::unexpected(done.error());
  return name;
}

Result<std::string> Pictures::keep(std::string_view bytes) {
  return keep(std::span(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()));
}

Status Pictures::take_away(const std::string& hash) {
  std::error_code trouble;
  std::filesystem::remove(path_of(hash), trouble);
  if (!trouble) return {};
  return fail(Category::io,
              path_of(hash).string() + ": cannot be taken away: " + trouble.message());
}

std::filesystem::path Pictures::path_of(const std::string& hash) const {
  return folder_ / hash.substr(0, 2) / hash;
}

Result<bool> Pictures::is_whole(const std::string& hash) const {
  const auto found = hash_of_file(path_of(hash));
  if (found) return to_hex(*found) == hash;
  if (found.error().category == Category::not_found) return false;
  return tl::unexpected(found.error());
}

}  // namespace lastlook::records
