// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/tally.h"

#include <sys/mman.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>

namespace lastlook::trial {

static_assert(std::atomic<std::int64_t>::is_always_lock_free, "a lock is not shared by processes");

void Tally::note_lag(std::int64_t microseconds) {
  const auto last = static_cast<std::int64_t>(lag_ms.size()) - 1;
  const auto place = std::clamp<std::int64_t>(microseconds / 1'000, 0, last);
  ++lag_ms[static_cast<std::size_t>(place)];
}

std::int64_t Tally::lag_of_share(double share) const {
  std::int64_t all = 0, seen = 0;
  for (const auto& looks : lag_ms) all += looks;
  const auto wanted = std::max<std::int64_t>(std::llround(share * static_cast<double>(all)), 1);
  if (all == 0) return 0;
  for (std::size_t at = 0; at < lag_ms.size(); ++at)
    if (seen += lag_ms[at]; seen >= wanted) return static_cast<std::int64_t>(at);
  return static_cast<std::int64_t>(lag_ms.size());
}

void Unmap::operator()(Tally* tally) const {
  munmap(tally, sizeof *tally);
}

Result<SharedTally> share_tally() {
  void* memory =
      mmap(nullptr, sizeof(Tally), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  if (memory == MAP_FAILED)
    return fail(Category::io, std::string("no memory to count in: ") + std::strerror(errno));
  return SharedTally(new (memory) Tally{});
}

}  // namespace lastlook::trial
