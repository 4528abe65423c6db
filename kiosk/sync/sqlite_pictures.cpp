// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/sqlite_pictures.h"

#include <fmt/format.h>

#include "kiosk/sync/picture_bytes.h"
#include "kiosk/sync/sqlite_rows.h"

namespace lastlook::sync {

using records::Statement;

Result<std::int64_t> SqlitePictures::complete_to(const std::string& journal) {
  std::int64_t seq = 0;
  const Status done =
      read_rows(connection_.prepare("SELECT pictures_to FROM plant_journal WHERE journal = ?1"),
                {journal}, [&](const Statement& row) {
                  seq = row.integer(0);
                  return false;
                });
  if (!done) return tl::unexpected(done.error());
  return seq;
}

Status SqlitePictures::note_complete_to(const std::string& journal, std::int64_t seq) {
  return run(connection_.prepare("UPDATE plant_journal SET pictures_to = ?2 WHERE journal = ?1"),
             {journal, seq});
}

Result<HeldPicture> SqlitePictures::held(const PictureName& name) {
  HeldPicture held;
  const Status done =
      read_rows(connection_.prepare(
                    "SELECT bytes, whole FROM plant_picture WHERE journal = ?1 AND picture = ?2"),
                {name.journal, name.picture}, [&](const Statement& row) {
                  held = {row.integer(0), row.integer(1) != 0};
                  return false;
                });
  if (!done) return tl::unexpected(done.error());
  return held;
}

Status SqlitePictures::take(const PictureName& name, std::int64_t from,
                            std::span<const unsigned char> part, bool last) {
  if (Status begun = connection_.run("BEGIN IMMEDIATE"); !begun) return begun;
  Status done = add(name, from, part, last);
  // Bytes of another picture are dropped for good, and so is what came of them before.
  bool other = false;
  if (done && last) {
    const auto all = joined(name);
    if (!all) done = tl::unexpected(all.error());
    other = all && !has_hash(*all, name.picture);
    if (other) done = drop(name);
  }
  if (done) done = connection_.run("COMMIT");
  if (!done) (void)connection_.run("ROLLBACK");  // what matters is the first error
  if (done && other) return other_bytes(name, Category::refused);
  return done;
}

Status SqlitePictures::add(const PictureName& name, std::int64_t from,
                           std::span<const unsigned char> part, bool last) {
  const auto held = this->held(name);
  if (!held) return tl::unexpected(held.error());
  if (Status fits = check_part(name, *held, from, part); !fits) return fits;
  bool is_known = false;
  Status done = read_rows(connection_.prepare("SELECT 1 FROM plant_journal WHERE journal = ?1"),
                          {name.journal}, [&](const Statement&) { return is_known = true; });
  if (done && !is_known)
    return fail(Category::refused, fmt::format("the store has no journal {}", name.journal));
  if (done)
    done =
        run(connection_.prepare("INSERT INTO plant_picture VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO "
                                "UPDATE SET bytes = excluded.bytes, whole = excluded.whole"),
            {name.journal, name.picture, from + std::ssize(part), std::int64_t{last}});
  if (!done) return done;
  auto into = connection_.prepare(
      "INSERT INTO plant_picture_part (journal, picture, at, bytes) VALUES (?1, ?2, ?3, ?4)");
  if (!into) return tl::unexpected(into.error());
  into->bind_text(1, name.journal);
  into->bind_text(2, name.picture);
  into->bind_integer(3, from);
  into->bind_bytes(4, part);
  const auto added = into->step();
  return added ? Status() : tl::unexpected(added.error());
}

Status SqlitePictures::drop(const PictureName& name) {
  Status done =
      run(connection_.prepare("DELETE FROM plant_picture_part WHERE journal = ?1 AND picture = ?2"),
          {name.journal, name.picture});
  if (done)
    done = run(connection_.prepare("DELETE FROM plant_picture WHERE journal = ?1 AND picture = ?2"),
               {name.journal, name.picture});
  return done;
}

Result<std::string> SqlitePictures::joined(const PictureName& name) {
  std::string all;
  const Status done =
      read_rows(connection_.prepare("SELECT bytes FROM plant_picture_part WHERE journal = ?1 AND "
                                    "picture = ?2 ORDER BY at"),
                {name.journal, name.picture}, [&](const Statement& row) {
                  all += row.text(0);
                  return true;
                });
  if (!done) return tl::unexpected(done.error());
  return all;
}

Result<std::vector<std::string>> SqlitePictures::whole(const std::string& journal) {
  std::vector<std::string> all;
  const Status done =
      read_rows(connection_.prepare("SELECT picture FROM plant_picture WHERE journal = ?1 AND "
                                    "whole = 1 ORDER BY picture"),
                {journal}, [&](const Statement& row) {
                  all.push_back(row.text(0));
                  return true;
                });
  if (!done) return tl::unexpected(done.error());
  return all;
}

Result<std::string> SqlitePictures::bytes(const PictureName& name) {
  const auto held = this->held(name);
  if (!held) return tl::unexpected(held.error());
  if (!held->whole) return not_here(name);
  auto all = joined(name);
  if (all && !has_hash(*all, name.picture)) return other_bytes(name, Category::damaged);
  return all;
}

}  // namespace lastlook::sync
