// SPDX-License-Identifier: Apache-2.0
// The three kinds of plant's store, each empty and in a place of its own.
#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <pqxx/pqxx>
#include <string>

#include "kiosk/sync/plant_store.h"
#include "kiosk/sync/postgres_plant.h"
#include "kiosk/sync/postgres_setup.h"
#include "tests/kiosk/records/station.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::sync {

using records::testing::must;

enum class Kind { file, folder, server };
inline std::string name_of(Kind kind) {
  return kind == Kind::file ? "File" : kind == Kind::folder ? "Folder" : "Server";
}

// Where an empty store may be opened; a server's is made and knows the login ll1 as LL-1.
class Place {
 public:
  explicit Place(Kind kind) {
    if (kind == Kind::file) address_ = "sqlite:" + (folder_.path() / "plant.db").string();
    if (kind == Kind::folder) address_ = "folder:" + (folder_.path() / "plant").string();
    if (kind != Kind::server) return;
    auto& cluster = testing::Cluster::running();
    database_ = cluster.new_database();
    owner_ = cluster.address("owner", database_);
    must(make_postgres(owner_));
    must(admit(owner_, "ll1", "LL-1"));
    address_ = cluster.address("ll1", database_);
  }
  // As a station sees it, and as its owner does.
  std::unique_ptr<PlantStore> open() const { return must(open_plant_store(address_, true)); }
  std::unique_ptr<PlantStore> open_as_owner() const {
    return must(open_plant_store(owner_.empty() ? address_ : owner_, true));
  }
  // Makes a station the office; a server knows it by the login ll2.
  void make_office(const std::string& station) const {
    if (!owner_.empty()) must(admit(owner_, "ll2", station));
    must(open_as_owner()->make_office(station));
  }
  std::unique_ptr<PlantStore> open_as_office() const {
    if (owner_.empty()) return open();
    return must(open_plant_store(testing::Cluster::running().address("ll2", database_), false));
  }
  const std::string& address() const { return address_; }
  const std::string& owner_address() const { return owner_.empty() ? address_ : owner_; }
  const std::string& owner() const { return owner_; }
  const std::string& database() const { return database_; }
  const std::filesystem::path& folder() const { return folder_.path(); }

 private:
  records::testing::TempFolder folder_;
  std::string address_, owner_, database_;
};

// What the server says to SQL of a login; empty: it did as told.
inline std::string refusal(const std::string& address, const std::string& text) {
  try {
    pqxx::connection connection(address);
    pqxx::work work(connection);
    work.exec(text);
    work.commit();
  } catch (const pqxx::sql_error& error) {
    return error.what();
  }
  return {};
}

inline std::vector<records::Entry> entries_of(records::Records& station) {
  std::vector<records::Entry> all;
  must(station.store().entries(station.journal(), 1, [&](const records::Entry& entry) {
    all.push_back(entry);
    return true;
  }));
  return all;
}

}  // namespace lastlook::sync
