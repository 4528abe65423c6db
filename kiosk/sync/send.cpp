// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/send.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/audit.h"
#include "kiosk/sync/chain.h"

namespace lastlook::sync {
namespace {

using records::Entry;

constexpr std::size_t batch_bytes = 1 << 20;  // a link that breaks loses little

bool closes_look(const Entry& entry) {
  return entry.kind == domain::kind_of(domain::LookClosed{});
}

// One journal to send, wherever it is kept.
struct Journal {
  std::string id;
  Head last;
  bool being_written = false;
  std::function<Status(std::int64_t from, const std::function<bool(const Entry&)>& each)> read;
};

Result<std::vector<Journal>> journals_of(records::JournalStore& station) {
  const auto ids = records::journals_in_order(station);
  if (!ids) return tl::unexpected(ids.error());
  std::vector<Journal> all;
  for (const std::string& id : *ids) {
    const auto last = station.last_entry(id);
    if (!last) return tl::unexpected(last.error());
    if (!*last) return fail(Category::damaged, "journal " + id + " has no entry here");
    all.push_back({id,
                   {(*last)->seq, (*last)->hash},
                   id == ids->back(),
                   [&station, id](std::int64_t from, const auto& each) {
                     return station.entries(id, from, each);
                   }});
  }
  return all;
}

Result<std::vector<Journal>> journals_of(PlantStore& from) {
  const auto known = from.journals();
  if (!known) return tl::unexpected(known.error());
  std::vector<Journal> all;
  for (const KnownJournal& one : *known)
    all.push_back({one.journal, one.head, false,
                   [&from, id = one.journal](std::int64_t first, const auto& each) {
                     return from.entries(id, first, each);
                   }});
  return all;
}

Result<records::Hash> hash_at(const Journal& journal, std::int64_t seq) {
  if (seq == journal.last.seq) return journal.last.hash;
  Result<records::Hash> hash =
      fail(Category::damaged, fmt::format("journal {}: entry {} is missing", journal.id, seq));
  const Status read = journal.read(seq, [&](const Entry& entry) {
    if (entry.seq == seq) hash = entry.hash;
    return false;
  });
  if (!read) return tl::unexpected(read.error());
  return hash;
}

// The store's head of a journal, once both agree about all that both have.
Result<Head> agreed_head(const Journal& journal, PlantStore& plant) {
  const auto head = plant.head(journal.id);
  if (!head || head->seq == 0) return head;
  if (head->seq > journal.last.seq && journal.being_written)
    return fail(Category::refused,
                fmt::format("the store has journal {} up to entry {} ({}) and this station only up "
                            "to {} ({}): this is an older copy of the station; restore a backup "
                            "with 'lastlook records restore', which begins a journal of its own",
                            journal.id.substr(0, 12), head->seq, fingerprint(head->hash),
                            journal.last.seq, fingerprint(journal.last.hash)));
  const std::int64_t common = std::min(head->seq, journal.last.seq);
  const auto hash = hash_at(journal, common);
  if (!hash) return tl::unexpected(hash.error());
  if (Status same = check_same(plant, journal.id, {common, *hash}); !same)
    return tl::unexpected(same.error());
  return head;
}

// Up to a batch from an entry on. Read whole before it is sent: no reading stays open while the
// network takes its time.
Result<std::vector<Entry>> batch_from(const Journal& journal, std::int64_t from) {
  std::vector<Entry> batch;
  std::size_t bytes = 0;
  const Status read = journal.read(from, [&](const Entry& entry) {
    batch.push_back(entry);
    bytes += entry.body.size() + entry.stamp.size();
    return bytes < batch_bytes;
  });
  if (!read) return tl::unexpected(read.error());
  return batch;
}

Result<Sent> send_all(const std::vector<Journal>& journals, PlantStore& plant,
                      const Sending& sending) {
  std::vector<Head> heads;
  std::int64_t waiting = 0;
  for (const Journal& journal : journals) {
    const auto head = agreed_head(journal, plant);
    if (!head) return tl::unexpected(head.error());
    heads.push_back(*head);
    waiting += std::max<std::int64_t>(0, journal.last.seq - head->seq);
  }
  Sent sent;
  for (std::size_t i = 0; i < journals.size(); ++i) {
    sent.journals.push_back({journals[i].id, 0, heads[i]});
    SentJournal& now = sent.journals.back();
    while (now.acknowledged.seq < journals[i].last.seq) {
      const auto batch = batch_from(journals[i], now.acknowledged.seq + 1);
      if (!batch) return tl::unexpected(batch.error());
      if (batch->empty()) break;
      const auto head = plant.take(*batch);
      if (!head) return tl::unexpected(head.error());
      now.acknowledged = *head;
      now.sent += std::ssize(*batch);
      sent.entries += std::ssize(*batch);
      sent.looks += std::ranges::count_if(*batch, closes_look);
      if (sending) sending(sent.entries, waiting);
    }
  }
  return sent;
}

}  // namespace

Result<Sent> send(records::JournalStore& station, PlantStore& plant, const Sending& sending) {
  const auto journals = journals_of(station);
  if (!journals) return tl::unexpected(journals.error());
  return send_all(*journals, plant, sending);
}

Result<Sent> send(PlantStore& from, PlantStore& to, const Sending& sending) {
  const auto journals = journals_of(from);
  if (!journals) return tl::unexpected(journals.error());
  return send_all(*journals, to, sending);
}

Result<Waiting> waiting(records::JournalStore& station, PlantStore& plant) {
  const auto journals = journals_of(station);
  if (!journals) return tl::unexpected(journals.error());
  Waiting waiting;
  for (const Journal& journal : *journals) {
    const auto head = agreed_head(journal, plant);
    if (!head) return tl::unexpected(head.error());
    const Status read = journal.read(head->seq + 1, [&](const Entry& entry) {
      ++waiting.entries;
      waiting.looks += closes_look(entry);
      return true;
    });
    if (!read) return tl::unexpected(read.error());
  }
  return waiting;
}

}  // namespace lastlook::sync
