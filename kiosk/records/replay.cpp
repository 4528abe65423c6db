// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/replay.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <ostream>

#include "kiosk/records/audit.h"
#include "kiosk/records/json_fields.h"
#include "kiosk/records/projector.h"
#include "kiosk/records/tables.h"

namespace lastlook::records {
namespace {

// The journal that a journal follows; empty: none, or its first entry does not say.
std::string predecessor(JournalStore& store, const std::string& journal) {
  const auto first = store.entry(journal, 1);
  if (!first || !*first) return {};
  const auto happening = decode(**first);
  const auto* start = happening ? std::get_if<domain::JournalStarted>(&*happening) : nullptr;
  return start ? start->after_journal : std::string();
}

Status check_ends(JournalStore& store) {
  const auto states = rows<StationStateRow>(store, {});
  if (!states) return {};  // rows that cannot be read are what a rebuild is for
  for (const StationStateRow& state : *states) {
    const auto last = store.last_entry(state.journal);
    if (!last) return tl::unexpected(last.error());
    if (!*last || (*last)->seq < state.seq)
      return fail(Category::damaged,
                  fmt::format("journal {} should end at entry {} and ends before; restore the "
                              "newest backup",
                              state.journal, state.seq));
  }
  return {};
}

// Projects all entries of a store in order.
Status project_all(JournalStore& from, Store& to, const Progress& progress) {
  const auto journals = journals_in_order(from);
  if (!journals) return tl::unexpected(journals.error());
  std::int64_t done = 0, all = 0;
  for (const std::string& journal : *journals) {
    const auto last = from.last_entry(journal);
    if (last && *last) all += (*last)->seq;
  }
  for (const std::string& journal : *journals) {
    Status wrong;
    const Status read = from.entries(journal, 1, [&](const Entry& entry) {
      if (Status projected = project_again(to, entry); !projected)
        wrong = fail(projected.error().category, fmt::format("journal {}, entry {}: {}", journal,
                                                             entry.seq, projected.error().message));
      if (progress && ++done % progress_step == 0) progress(done, all);
      return wrong.has_value();
    });
    if (!read) return read;
    if (!wrong) return wrong;
  }
  return {};
}

}  // namespace

std::string line_of(const Table& table, const Row& row) {
  Json line = Json::array({std::string(table.name)});
  for (const Value& value : row)
    std::visit(
        [&](const auto& one) {
          if constexpr (std::is_same_v<std::decay_t<decltype(one)>, std::monostate>)
            line.push_back(nullptr);
          else
            line.push_back(one);
        },
        value);
  return write_json(line);
}

Status project_again(Store& store, const Entry& entry) {
  const auto stamp = read_stamp(entry.stamp);
  if (!stamp) return tl::unexpected(stamp.error());
  const auto happening = decode(entry);
  if (!happening) return tl::unexpected(happening.error());
  return project(store, entry, *stamp, *happening);
}

Result<std::vector<std::string>> journals_in_order(JournalStore& store) {
  auto journals = store.journals();
  if (!journals) return journals;
  std::map<std::string, std::string> after;
  for (const std::string& journal : *journals) after[journal] = predecessor(store, journal);
  // How many journals of this store come before one; a ring, which only damage makes, ends.
  const auto depth = [&](std::string journal) {
    std::size_t n = 0;
    while (n < after.size() && after.contains(journal) && !after[journal].empty()) {
      journal = after[journal];
      ++n;
    }
    return n;
  };
  std::ranges::stable_sort(*journals, {}, depth);
  return journals;
}

Status make_rows(JournalStore& store, const Progress& progress) {
  Status done = check_ends(store);
  for (const Table* table : all_tables())
    if (done) done = store.clear(*table);
  if (done) done = project_all(store, store, progress);
  return done;
}

tl::unexpected<Error> rows_of_another_version() {
  return fail(Category::refused,
              "the rows of this store were made by another version of Lastlook; 'lastlook plant "
              "run' of this one makes them again");
}

Status rebuild(Records& records, const Progress& progress) {
  JournalStore& store = records.store();
  if (Status done = store.begin(); !done) return done;
  Status done = make_rows(store, progress);
  if (done) done = store.commit();
  if (!done) store.rollback();
  return done;
}

Status dump(Store& store, std::ostream& out) {
  for (const Table* table : all_tables()) {
    const Status done = store.rows(*table, {}, [&](const Row& row) {
      out << line_of(*table, row) << '\n';
      return true;
    });
    if (!done) return done;
  }
  return {};
}

std::vector<std::string> pictures_of(const domain::Happening& happening) {
  std::vector<std::string> pictures;
  if (const auto* finding = std::get_if<domain::FindingAdded>(&happening))
    pictures = {finding->picture};
  if (const auto* opinion = std::get_if<domain::OpinionGiven>(&happening))
    pictures = {opinion->picture, opinion->overlay};
  if (const auto* judged = std::get_if<domain::PartJudged>(&happening))
    pictures = {judged->picture, judged->overlay};
  if (const auto* approved = std::get_if<domain::ModelApproved>(&happening))
    pictures = {approved->file, approved->before_file};
  if (const auto* planned = std::get_if<domain::StudyPlanned>(&happening))
    for (const domain::StudyItem& item : planned->items) pictures.push_back(item.picture);
  std::erase(pictures, "");
  return pictures;
}

}  // namespace lastlook::records
