// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/postgres_plant.h"

#include <fmt/format.h>

#include "kiosk/records/entry_line.h"
#include "kiosk/records/postgres.h"
#include "kiosk/sync/chain.h"
#include "kiosk/sync/postgres_pictures.h"
#include "kiosk/sync/postgres_setup.h"
#include "kiosk/sync/sql.h"

namespace lastlook::sync {
namespace {

using records::connect_postgres;
using records::Entry;
using records::guarded;
using records::Hash;

Hash hash_of_field(const pqxx::field& hex) {
  return records::hash_from_hex(hex.as<std::string>()).value_or(Hash{});
}

std::string as_bytea(const Hash& hash) {
  return "\\x" + records::to_hex(hash);
}

Entry entry_of(const pqxx::row& row) {
  return {row[0].as<std::string>(), row[1].as<std::int64_t>(), row[2].as<std::string>(),
          row[3].as<std::string>(), row[4].as<std::string>(),  row[5].as<std::int64_t>(),
          row[6].as<std::string>(), hash_of_field(row[7]),     hash_of_field(row[8])};
}

constexpr int read_at_once = 1'000;

// The place of a row of results: the transaction that gave it, and its number.
struct Mark {
  std::string given_in = "0";
  std::int64_t id = 0;
};

Result<Mark> read_mark(const std::string& text) {
  if (text.empty()) return Mark{};
  const auto dash = text.find('-');
  if (dash == std::string::npos || text.find_first_not_of("0123456789-") != std::string::npos)
    return fail(Category::bad_input,
                fmt::format("'{}' is no place in a table of results, expected 812-17", text));
  return Mark{text.substr(0, dash), std::atoll(text.c_str() + dash + 1)};
}

// A store that its owner has not brought to this form yet has nothing that goes down.
bool has_function(pqxx::transaction_base& work, const std::string& signature) {
  return !work.exec_params1("SELECT to_regprocedure($1)", "lastlook_plant." + signature)[0]
              .is_null();
}

}  // namespace

struct PostgresPlant::Inside {
  std::unique_ptr<pqxx::connection> connection;
  bool has_incoming = false;
  std::string owner;                             // of the store, quoted
  std::unique_ptr<PostgresPictures> pictures{};  // nullptr: its form has none

  // Hands entries over within a transaction.
  Head take(pqxx::work& work, std::span<const Entry> entries) {
    if (!has_incoming)
      work.exec(
          "CREATE TEMPORARY TABLE incoming (journal text, seq bigint, stamp text, actor text, "
          "kind text, version bigint, body text, previous bytea, hash bytea) "
          "ON COMMIT DELETE ROWS; GRANT SELECT ON incoming TO " +
          owner);
    pqxx::stream_to rows(work, "incoming");
    for (const Entry& entry : entries)
      rows << std::make_tuple(entry.journal, entry.seq, entry.stamp, entry.actor, entry.kind,
                              entry.version, entry.body, as_bytea(entry.previous),
                              as_bytea(entry.hash));
    rows.complete();
    const pqxx::row row =
        work.exec1("SELECT head_seq, encode(head_hash, 'hex') FROM lastlook_plant.take()");
    return {row[0].as<std::int64_t>(), hash_of_field(row[1])};
  }
};

PostgresPlant::PostgresPlant(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
PostgresPlant::~PostgresPlant() = default;

Result<std::unique_ptr<PostgresPlant>> PostgresPlant::open(const std::string& address) {
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  auto inside = std::make_unique<Inside>();
  inside->connection = *std::move(connection);
  return guarded([&]() -> Result<std::unique_ptr<PostgresPlant>> {
    pqxx::nontransaction work(*inside->connection);
    const auto found = work.exec(
        "SELECT quote_ident(r.rolname) FROM pg_catalog.pg_namespace n "
        "JOIN pg_catalog.pg_roles r ON r.oid = n.nspowner WHERE n.nspname = 'lastlook_plant'");
    if (found.empty())
      return fail(Category::not_found,
                  "there is no plant's store in this database; see 'lastlook plant init'");
    inside->owner = found[0][0].as<std::string>();
    if (has_function(work, "pictures_to(text)"))
      inside->pictures = std::make_unique<PostgresPictures>(*inside->connection);
    work.commit();
    return std::unique_ptr<PostgresPlant>(new PostgresPlant(std::move(inside)));
  });
}

Result<std::vector<KnownJournal>> PostgresPlant::journals() {
  return guarded([&]() -> Result<std::vector<KnownJournal>> {
    pqxx::read_transaction work(*inside_->connection);
    std::vector<KnownJournal> all;
    for (const pqxx::row& row :
         work.exec("SELECT journal, station, head_seq, encode(head_hash, 'hex'), after_journal, "
                   "after_seq FROM lastlook_plant.journal ORDER BY station, came"))
      all.push_back({row[0].as<std::string>(),
                     row[1].as<std::string>(),
                     {row[2].as<std::int64_t>(), hash_of_field(row[3])},
                     row[4].as<std::string>(),
                     row[5].as<std::int64_t>()});
    return all;
  });
}

Result<Head> PostgresPlant::head(const std::string& journal) {
  return guarded([&]() -> Result<Head> {
    pqxx::read_transaction work(*inside_->connection);
    const pqxx::row row = work.exec_params1(
        "SELECT head_seq, encode(head_hash, 'hex') FROM lastlook_plant.head($1)", journal);
    if (row[0].is_null()) return Head{};
    return Head{row[0].as<std::int64_t>(), hash_of_field(row[1])};
  });
}

Result<Hash> PostgresPlant::hash_at(const std::string& journal, std::int64_t seq) {
  return guarded([&]() -> Result<Hash> {
    pqxx::read_transaction work(*inside_->connection);
    const pqxx::row row =
        work.exec_params1("SELECT encode(lastlook_plant.hash_at($1, $2), 'hex')", journal, seq);
    if (row[0].is_null())
      return fail(Category::not_found,
                  fmt::format("journal {}: the store has no entry {}", journal, seq));
    return hash_of_field(row[0]);
  });
}

Result<Head> PostgresPlant::take(std::span<const Entry> entries) {
  if (Status links = check_links(entries); !links) return tl::unexpected(links.error());
  return guarded([&]() -> Result<Head> {
    pqxx::work work(*inside_->connection);
    const Head head = inside_->take(work, entries);
    work.commit();
    inside_->has_incoming = true;
    return head;
  });
}

Status PostgresPlant::would_take(std::span<const Entry> entries) {
  if (Status links = check_links(entries); !links) return links;
  return guarded([&]() -> Status {
    pqxx::work work(*inside_->connection);
    inside_->take(work, entries);
    work.abort();
    return {};
  });
}

Status PostgresPlant::entries(const std::string& journal, std::int64_t from,
                              const std::function<bool(const Entry&)>& each) {
  return guarded([&]() -> Status {
    while (true) {
      pqxx::read_transaction work(*inside_->connection);
      const pqxx::result rows = work.exec_params(
          "SELECT journal, seq, stamp, actor, kind, version, body, encode(previous, 'hex'), "
          "encode(hash, 'hex') FROM lastlook_plant.entry WHERE journal = $1 AND seq >= $2 "
          "ORDER BY seq LIMIT $3",
          journal, from, read_at_once);
      for (const pqxx::row& row : rows) {
        const Entry entry = entry_of(row);
        if (!each(entry)) return {};
        from = entry.seq + 1;
      }
      if (rows.size() < static_cast<std::size_t>(read_at_once)) return {};
    }
  });
}

Result<GivenResults> PostgresPlant::results_after(const std::string& mark, int at_most) {
  const auto from = read_mark(mark);
  if (!from) return tl::unexpected(from.error());
  return guarded([&]() -> Result<GivenResults> {
    pqxx::read_transaction work(*inside_->connection);
    GivenResults given{{}, mark};
    if (!has_function(work, "results_after(text, bigint, integer)")) return given;
    for (const pqxx::row& row :
         work.exec_params("SELECT * FROM lastlook_plant.results_after($1, $2, $3)", from->given_in,
                          from->id, at_most)) {
      given.mark = row[0].as<std::string>() + "-" + row[1].as<std::string>();
      given.rows.push_back({row[2].as<std::string>(), row[3].as<std::string>(),
                            row[4].as<std::string>(), row[5].as<std::string>(),
                            row[6].as<std::string>(), row[7].as<std::string>(), "", "", ""});
      if (row.size() <= 8) continue;  // a store of an older form
      given.rows.back().made = row[8].as<std::string>();
      given.rows.back().part = row[9].as<std::string>();
      given.rows.back().lot = row[10].as<std::string>();
    }
    return given;
  });
}

Result<std::string> PostgresPlant::office() {
  return guarded([&]() -> Result<std::string> {
    pqxx::read_transaction work(*inside_->connection);
    // By JSON, for the first form has no such column.
    const pqxx::result rows = work.exec(
        "SELECT station FROM lastlook_plant.station s "
        "WHERE (to_jsonb(s) ->> 'is_office')::boolean");
    return rows.empty() ? std::string() : rows[0][0].as<std::string>();
  });
}

Status PostgresPlant::make_office(const std::string& station) {
  return guarded([&]() -> Status {
    pqxx::work work(*inside_->connection);
    if (Status made = sync::make_office(work, station); !made) return made;
    work.commit();
    return {};
  });
}

Result<std::optional<Entry>> PostgresPlant::newest_master() {
  return guarded([&]() -> Result<std::optional<Entry>> {
    pqxx::read_transaction work(*inside_->connection);
    if (!has_function(work, "newest_master()")) return std::nullopt;
    const pqxx::result rows = work.exec("SELECT * FROM lastlook_plant.newest_master()");
    if (rows.empty()) return std::nullopt;
    return entry_of(rows[0]);
  });
}

PictureStore* PostgresPlant::pictures() {
  return inside_->pictures.get();
}

}  // namespace lastlook::sync
