// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/check_plant.h"

#include <optional>

#include "kiosk/sync/chain.h"

namespace lastlook::sync {
namespace {

using records::Entry;

// The first fault of a journal; empty: it is whole.
Result<std::optional<PlantFault>> fault_in(PlantStore& plant, const KnownJournal& journal,
                                           const std::function<void()>& passed) {
  Head at;
  std::optional<PlantFault> fault;
  const Status read = plant.entries(journal.journal, 1, [&](const Entry& entry) {
    Status good = check_follows(at, entry);
    if (good) good = check_links({&entry, 1});
    if (!good) fault = PlantFault{journal.journal, at.seq + 1, good.error().message};
    at = {entry.seq, entry.hash};
    passed();
    return !fault;
  });
  if (!read && read.error().category != Category::damaged) return tl::unexpected(read.error());
  if (!read) return PlantFault{journal.journal, at.seq + 1, read.error().message};
  if (!fault && at != journal.head)
    fault = PlantFault{journal.journal, at.seq, "this is not the entry that was taken last"};
  return fault;
}

Status check_pictures(PlantStore& plant, const KnownJournal& journal, PlantVerdict& verdict) {
  PictureStore* store = plant.pictures();
  if (!store) return {};
  const auto pictures = store->whole(journal.journal);
  if (!pictures) return tl::unexpected(pictures.error());
  for (const std::string& picture : *pictures) {
    const auto bytes = store->bytes({journal.journal, picture});
    if (!bytes && bytes.error().category != Category::damaged) return tl::unexpected(bytes.error());
    if (!bytes) verdict.faults.push_back({journal.journal, 0, bytes.error().message});
    ++verdict.pictures;
  }
  return {};
}

}  // namespace

Result<PlantVerdict> check(
    PlantStore& plant, const std::function<void(std::int64_t done, std::int64_t all)>& progress) {
  const auto journals = plant.journals();
  if (!journals) return tl::unexpected(journals.error());
  std::int64_t all = 0;
  for (const KnownJournal& journal : *journals) all += journal.head.seq;
  PlantVerdict verdict;
  for (const KnownJournal& journal : *journals) {
    const auto fault = fault_in(plant, journal, [&] {
      if (++verdict.entries % 1'000 == 0 && progress) progress(verdict.entries, all);
    });
    if (!fault) return tl::unexpected(fault.error());
    if (*fault) verdict.faults.push_back(**fault);
    if (Status read = check_pictures(plant, journal, verdict); !read)
      return tl::unexpected(read.error());
    ++verdict.journals;
  }
  return verdict;
}

}  // namespace lastlook::sync
