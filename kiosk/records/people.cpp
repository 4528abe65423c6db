// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/people.h"

#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>
#include <array>

#include "kiosk/records/durable.h"
#include "kiosk/records/sqlite.h"

namespace lastlook::records {
namespace {

constexpr unsigned long long passes = 2;
constexpr std::size_t memory = 19u << 20;  // 19 MiB
constexpr int form = 3;

// Argon2id with its salt and costs, as text.
Result<std::string> hash_pin(const std::string& pin) {
  std::array<char, crypto_pwhash_STRBYTES> text{};
  if (crypto_pwhash_str(text.data(), pin.data(), pin.size(), passes, memory) != 0)
    return fail(Category::io, "there is not enough memory to check a PIN");
  return std::string(text.data());
}

Status grow(Connection& db, std::int64_t from) {
  if (from >= form) return {};
  std::string sql = "BEGIN IMMEDIATE;";
  if (from < 2) sql += "ALTER TABLE person ADD COLUMN language TEXT NOT NULL DEFAULT '';";
  sql += fmt::format(
      "ALTER TABLE person ADD COLUMN qualified_until TEXT NOT NULL DEFAULT '';"
      "ALTER TABLE person ADD COLUMN badge TEXT NOT NULL DEFAULT '';"
      "CREATE TABLE badge_key (key BLOB NOT NULL) STRICT;"
      "INSERT INTO badge_key VALUES (randomblob(32));"
      "PRAGMA user_version={};COMMIT",
      form);
  return db.run(sql.c_str());
}

}  // namespace

std::string new_person_id() {
  std::uint32_t number = 0;
  randombytes_buf(&number, sizeof number);
  return fmt::format("p-{:08x}", number);
}

Status check_pin(const std::string& pin) {
  const bool digits = std::ranges::all_of(pin, [](char c) { return c >= '0' && c <= '9'; });
  if (digits && pin.size() >= 4 && pin.size() <= 12) return {};
  return fail(Category::bad_input, "a PIN is 4 to 12 digits");
}

struct People::Inside {
  std::unique_ptr<Connection> db;

  // Runs a statement with these texts for ?1, ?2, …
  Status change(std::string_view sql, const Row& values) {
    auto statement = db->prepare(sql);
    if (!statement) return tl::unexpected(statement.error());
    for (std::size_t i = 0; i < values.size(); ++i)
      statement->bind(static_cast<int>(i) + 1, values[i]);
    const auto done = statement->step();
    if (!done) return tl::unexpected(done.error());
    return {};
  }

  // The key is of this file: what two stations keep of one badge cannot be compared.
  Result<std::string> hash_of_badge(const std::string& code) {
    auto statement = db->prepare("SELECT key FROM badge_key");
    if (!statement) return tl::unexpected(statement.error());
    const auto row = statement->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row) return fail(Category::damaged, "people.db: the key of the badges is missing");
    const std::string key = statement->text(0);
    Hash hash{};
    crypto_generichash(hash.data(), hash.size(),
                       reinterpret_cast<const unsigned char*>(code.data()), code.size(),
                       reinterpret_cast<const unsigned char*>(key.data()), key.size());
    return to_hex(hash);
  }
};

People::People(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
People::~People() = default;

Result<std::unique_ptr<People>> People::open(const std::filesystem::path& folder) {
  if (Status done = make_folder(folder); !done) return tl::unexpected(done.error());
  const auto file = folder / "people.db";
  if (Status done = make_private(file); !done) return tl::unexpected(done.error());
  auto db = Connection::open(file, Access::create);
  if (!db) return tl::unexpected(db.error());
  const auto found = (*db)->integer("PRAGMA user_version");
  if (!found) return tl::unexpected(found.error());
  if (*found > form)
    return fail(Category::newer,
                fmt::format("{}: written by a later version of Lastlook; install that version to "
                            "open it",
                            file.string()));
  // secure_delete and no write-ahead log: what is erased is overwritten at once.
  const Status made = (*db)->run(
      "PRAGMA journal_mode=DELETE; PRAGMA synchronous=FULL; PRAGMA secure_delete=ON;"
      "CREATE TABLE IF NOT EXISTS person (id TEXT PRIMARY KEY, name TEXT NOT NULL,"
      " role TEXT NOT NULL, pin TEXT NOT NULL) STRICT;"
      "CREATE TABLE IF NOT EXISTS wrong_pin (person TEXT PRIMARY KEY REFERENCES person"
      " ON DELETE CASCADE, in_a_row INTEGER NOT NULL) STRICT;"
      "PRAGMA foreign_keys=ON");
  if (!made) return tl::unexpected(made.error());
  const Status grown = grow(**db, *found);
  if (!grown) return tl::unexpected(grown.error());
  auto inside = std::make_unique<Inside>();
  inside->db = *std::move(db);
  return std::unique_ptr<People>(new People(std::move(inside)));
}

Result<std::vector<Person>> People::all() {
  auto statement = inside_->db->prepare(
      "SELECT id, name, role, language, qualified_until FROM person "
      "ORDER BY name, id");
  if (!statement) return tl::unexpected(statement.error());
  std::vector<Person> people;
  while (true) {
    const auto row = statement->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row) return people;
    const auto role = domain::from_word<domain::Role>(statement->text(2));
    if (!role)
      return fail(Category::damaged, fmt::format("people.db: '{}' is no role", statement->text(2)));
    people.push_back(
        {statement->text(0), statement->text(1), *role, statement->text(3), statement->text(4)});
  }
}

Status People::add(const Person& person, const std::string& pin) {
  if (Status done = check_pin(pin); !done) return done;
  const auto hash = hash_pin(pin);
  if (!hash) return tl::unexpected(hash.error());
  // A new PIN begins with no wrong ones.
  if (Status done = inside_->change("DELETE FROM wrong_pin WHERE person = ?1", {person.id}); !done)
    return done;
  return inside_->change(
      "INSERT INTO person (id, name, role, pin) VALUES (?1, ?2, ?3, ?4) ON CONFLICT (id) DO "
      "UPDATE SET name = excluded.name, role = excluded.role, pin = excluded.pin",
      {person.id, person.name, std::string(domain::to_word(person.role)), *hash});
}

Status People::speak(const std::string& id, const std::string& language) {
  return inside_->change("UPDATE person SET language = ?2 WHERE id = ?1", {id, language});
}

Status People::qualify(const std::string& id, const std::string& until) {
  return inside_->change("UPDATE person SET qualified_until = ?2 WHERE id = ?1", {id, until});
}

Status People::give_badge(const std::string& id, const std::string& code) {
  if (code.empty()) return inside_->change("UPDATE person SET badge = '' WHERE id = ?1", {id});
  if (code.size() < shortest_badge)
    return fail(Category::bad_input,
                fmt::format("a badge of {} characters can be guessed, expected {} or more",
                            code.size(), shortest_badge));
  const auto other = with_badge(code);
  if (!other) return tl::unexpected(other.error());
  if (!other->empty() && *other != id)
    return fail(Category::refused, fmt::format("this badge is that of {}", *other));
  const auto hash = inside_->hash_of_badge(code);
  if (!hash) return tl::unexpected(hash.error());
  return inside_->change("UPDATE person SET badge = ?2 WHERE id = ?1", {id, *hash});
}

Result<std::string> People::with_badge(const std::string& code) {
  const auto hash = inside_->hash_of_badge(code);
  if (!hash) return hash;
  auto statement = inside_->db->prepare("SELECT id FROM person WHERE badge = ?1");
  if (!statement) return tl::unexpected(statement.error());
  statement->bind_text(1, *hash);
  const auto row = statement->step();
  if (!row) return tl::unexpected(row.error());
  return *row ? statement->text(0) : std::string();
}

Result<bool> People::pin_is_right(const std::string& id, const std::string& pin) {
  auto statement = inside_->db->prepare("SELECT pin FROM person WHERE id = ?1");
  if (!statement) return tl::unexpected(statement.error());
  statement->bind_text(1, id);
  const auto row = statement->step();
  if (!row) return tl::unexpected(row.error());
  if (!*row) {
    const auto same_work = hash_pin(pin);
    if (!same_work) return tl::unexpected(same_work.error());
    return false;
  }
  const std::string hash = statement->text(0);
  const Status counted = inside_->change(
      "INSERT INTO wrong_pin (person, in_a_row) VALUES (?1, 1) ON CONFLICT (person) DO UPDATE SET "
      "in_a_row = in_a_row + 1",
      {id});
  if (!counted) return tl::unexpected(counted.error());
  if (crypto_pwhash_str_verify(hash.c_str(), pin.data(), pin.size()) != 0) return false;
  const Status forgiven = inside_->change("DELETE FROM wrong_pin WHERE person = ?1", {id});
  if (!forgiven) return tl::unexpected(forgiven.error());
  return true;
}

Result<std::map<std::string, int>> People::wrong_pins() {
  auto statement = inside_->db->prepare("SELECT person, in_a_row FROM wrong_pin");
  if (!statement) return tl::unexpected(statement.error());
  std::map<std::string, int> out;
  while (true) {
    const auto row = statement->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row) return out;
    out[statement->text(0)] = static_cast<int>(statement->integer(1));
  }
}

Status People::erase(const std::string& id) {
  return inside_->change("DELETE FROM person WHERE id = ?1", {id});
}

}  // namespace lastlook::records
