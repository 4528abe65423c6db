// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/send_pictures.h"

#include <algorithm>
#include <fstream>
#include <sstream>

#include "kiosk/records/pictures.h"
#include "kiosk/sync/called_for.h"
#include "kiosk/sync/picture_bytes.h"

namespace lastlook::sync {
namespace {

constexpr std::int64_t part_bytes = 128 << 10;  // some seconds of a slow link
static_assert(part_bytes <= largest_part);

// Pays out what may go.
struct Allowance {
  std::int64_t left = 0;
  bool is_used = false;
  bool is_over() const { return is_used && left <= 0; }
  void pay(std::int64_t bytes) {
    left -= bytes;
    is_used = true;
  }
};

// Sends what is missing of one picture; false: the allowance ended before it was whole.
Result<bool> send_one(const PictureName& name, const std::string& bytes, PictureStore& to,
                      Allowance& allowance, SentPictures& sent) {
  const auto held = to.held(name);
  if (!held) return tl::unexpected(held.error());
  if (held->whole) return true;
  const auto all = std::span(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  std::int64_t at = held->bytes;
  do {
    if (allowance.is_over()) return false;
    const std::int64_t n = std::min(part_bytes, std::ssize(all) - at);
    const auto part = all.subspan(static_cast<std::size_t>(at), static_cast<std::size_t>(n));
    if (Status taken = to.take(name, at, part, at + n == std::ssize(all)); !taken)
      return tl::unexpected(taken.error());
    at += n;
    sent.bytes += n;
    allowance.pay(n);
  } while (at < std::ssize(all));
  ++sent.pictures;
  return true;
}

// nullopt: it is not there, or not as it was.
std::optional<std::string> read_whole(const records::Pictures& files, const std::string& picture) {
  std::ifstream in(files.path_of(picture), std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  if (!in || bytes.str().empty() || !has_hash(bytes.str(), picture)) return std::nullopt;
  return bytes.str();
}

// What a journal calls for beyond what the store was told to be complete.
struct Queue {
  std::string journal;
  std::int64_t complete = 0, to = 0;
  std::vector<CalledFor> pictures;
};

Result<std::vector<Queue>> queues(records::Records& station, PlantStore& plant) {
  const auto journals = records::journals_in_order(station.store());
  if (!journals) return tl::unexpected(journals.error());
  std::vector<Queue> out;
  for (const std::string& journal : *journals) {
    const auto head = plant.head(journal);
    if (!head) return tl::unexpected(head.error());
    const auto complete = plant.pictures()->complete_to(journal);
    if (!complete) return tl::unexpected(complete.error());
    if (*complete >= head->seq) continue;
    auto called = pictures_called_for(station, journal, *complete + 1, head->seq);
    if (!called) return tl::unexpected(called.error());
    out.push_back({journal, *complete, head->seq, *std::move(called)});
  }
  return out;
}

}  // namespace

Result<SentPictures> send_pictures(
    records::Records& station, PlantStore& plant, std::int64_t at_most,
    const std::function<void(std::int64_t, std::int64_t)>& progress) {
  SentPictures sent;
  PictureStore* store = plant.pictures();
  if (!store) return sent;
  const auto journals = queues(station, plant);
  if (!journals) return tl::unexpected(journals.error());
  for (const Queue& queue : *journals) sent.waiting += std::ssize(queue.pictures);
  const std::int64_t all = sent.waiting;
  const records::Pictures files(station.folder() / "pictures");
  Allowance allowance{at_most};
  for (const Queue& queue : *journals) {
    std::int64_t complete = queue.to;
    for (const CalledFor& one : queue.pictures) {
      const auto bytes = read_whole(files, one.picture);
      const auto whole =
          bytes ? send_one({queue.journal, one.picture}, *bytes, *store, allowance, sent)
                : Result<bool>(true);
      if (!whole) return tl::unexpected(whole.error());
      if (!*whole) {
        complete = one.seq - 1;
        break;
      }
      sent.not_here += !bytes;
      --sent.waiting;
      if (progress) progress(all - sent.waiting, all);
    }
    if (complete > queue.complete)
      if (Status noted = store->note_complete_to(queue.journal, complete); !noted)
        return tl::unexpected(noted.error());
    if (complete < queue.to) break;
  }
  return sent;
}

Result<SentPictures> send_pictures(PlantStore& from, PlantStore& to) {
  SentPictures sent;
  if (!from.pictures() || !to.pictures()) return sent;
  const auto journals = from.journals();
  if (!journals) return tl::unexpected(journals.error());
  Allowance allowance{all_bytes};
  for (const KnownJournal& known : *journals) {
    const auto there = from.pictures()->complete_to(known.journal);
    const auto here = to.pictures()->complete_to(known.journal);
    if (!there || !here) return tl::unexpected((there ? here : there).error());
    const auto pictures = from.pictures()->whole(known.journal);
    if (!pictures) return tl::unexpected(pictures.error());
    for (const std::string& picture : *pictures) {
      const PictureName name{known.journal, picture};
      const auto held = to.pictures()->held(name);
      if (!held) return tl::unexpected(held.error());
      if (held->whole) continue;
      const auto bytes = from.pictures()->bytes(name);
      if (!bytes) return tl::unexpected(bytes.error());
      if (auto one = send_one(name, *bytes, *to.pictures(), allowance, sent); !one)
        return tl::unexpected(one.error());
    }
    if (*there > *here)
      if (Status noted = to.pictures()->note_complete_to(known.journal, *there); !noted)
        return tl::unexpected(noted.error());
  }
  return sent;
}

Result<std::vector<records::MissingPicture>> fetch_pictures(
    const std::filesystem::path& folder, std::vector<records::MissingPicture> missing,
    PlantStore& plant) {
  PictureStore* store = plant.pictures();
  if (!store) return missing;
  records::Pictures files(folder / "pictures");
  std::vector<records::MissingPicture> still;
  for (records::MissingPicture& one : missing) {
    const auto bytes = store->bytes({one.journal, one.picture});
    if (!bytes && bytes.error().category != Category::not_found)
      return tl::unexpected(bytes.error());
    if (!bytes) {
      still.push_back(std::move(one));
      continue;
    }
    if (const auto kept = files.keep(*bytes); !kept) return tl::unexpected(kept.error());
  }
  return still;
}

}  // namespace lastlook::sync
