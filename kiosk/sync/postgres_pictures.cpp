// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/postgres_pictures.h"

#include "kiosk/records/postgres.h"
#include "kiosk/sync/picture_bytes.h"

namespace lastlook::sync {

using records::guarded;

Result<std::int64_t> PostgresPictures::complete_to(const std::string& journal) {
  return guarded([&]() -> Result<std::int64_t> {
    pqxx::read_transaction work(connection_);
    const pqxx::row row = work.exec_params1("SELECT lastlook_plant.pictures_to($1)", journal);
    return row[0].is_null() ? 0 : row[0].as<std::int64_t>();
  });
}

Status PostgresPictures::note_complete_to(const std::string& journal, std::int64_t seq) {
  return guarded([&]() -> Status {
    pqxx::work work(connection_);
    work.exec_params("SELECT lastlook_plant.note_pictures_to($1, $2)", journal, seq);
    work.commit();
    return {};
  });
}

Result<HeldPicture> PostgresPictures::held(const PictureName& name) {
  return guarded([&]() -> Result<HeldPicture> {
    pqxx::read_transaction work(connection_);
    const pqxx::row row = work.exec_params1(
        "SELECT bytes, whole FROM lastlook_plant.picture_held($1, $2)", name.journal, name.picture);
    if (row[0].is_null()) return HeldPicture{};
    return HeldPicture{row[0].as<std::int64_t>(), row[1].as<bool>()};
  });
}

Status PostgresPictures::take(const PictureName& name, std::int64_t from,
                              std::span<const unsigned char> part, bool last) {
  if (Status fits = check_part(name, {from, false}, from, part); !fits) return fits;
  return guarded([&]() -> Status {
    pqxx::work work(connection_);
    work.exec_params("SELECT lastlook_plant.take_picture($1, $2, $3, $4, $5)", name.journal,
                     name.picture, from, pqxx::binarystring(part.data(), part.size()), last);
    work.commit();
    return {};
  });
}

Result<std::vector<std::string>> PostgresPictures::whole(const std::string& journal) {
  return guarded([&]() -> Result<std::vector<std::string>> {
    pqxx::read_transaction work(connection_);
    std::vector<std::string> all;
    for (const pqxx::row& row :
         work.exec_params("SELECT * FROM lastlook_plant.pictures($1)", journal))
      all.push_back(row[0].as<std::string>());
    return all;
  });
}

Result<std::string> PostgresPictures::bytes(const PictureName& name) {
  return guarded([&]() -> Result<std::string> {
    pqxx::read_transaction work(connection_);
    const pqxx::result parts = work.exec_params(
        "SELECT * FROM lastlook_plant.picture_parts($1, $2)", name.journal, name.picture);
    if (parts.empty()) return not_here(name);
    std::string all;
    for (const pqxx::row& row : parts) all += pqxx::binarystring(row[0]).str();
    if (!has_hash(all, name.picture)) return other_bytes(name, Category::damaged);
    return all;
  });
}

}  // namespace lastlook::sync
