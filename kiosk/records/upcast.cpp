// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/upcast.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::records {

std::span<const Upcaster> upcasters() {
  return {};  // every kind is still in its first version
}

std::int64_t newest_version(std::string_view kind, std::span<const Upcaster> all) {
  return 1 + std::ranges::count(all, kind, &Upcaster::kind);
}

Status upcast(Json& body, std::string_view kind, std::int64_t version,
              std::span<const Upcaster> all) {
  const std::int64_t newest = newest_version(kind, all);
  if (version > newest)
    return fail(Category::newer,
                fmt::format("{} is of version {}, and this program reads versions up to {}", kind,
                            version, newest));
  if (version < 1)
    return fail(Category::damaged, fmt::format("{} has no version {}", kind, version));
  for (; version < newest; ++version) {
    const auto step = std::ranges::find_if(
        all, [&](const Upcaster& one) { return one.kind == kind && one.from == version; });
    step->apply(body);
  }
  return {};
}

}  // namespace lastlook::records
