// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "kiosk/sync/folder_plant.h"
#include "kiosk/sync/plant_store.h"
#include "kiosk/sync/postgres_plant.h"
#include "kiosk/sync/sqlite_plant.h"

namespace lastlook::sync {
namespace {

template <class Store>
Result<std::unique_ptr<PlantStore>> as_store(Result<std::unique_ptr<Store>> opened) {
  if (!opened) return tl::unexpected(opened.error());
  return std::unique_ptr<PlantStore>(*std::move(opened));
}

constexpr std::string_view file = "sqlite:", folder = "folder:", server = "postgresql://";

}  // namespace

Status check_address(const std::string& address) {
  for (const std::string_view kind : {file, folder, server})
    if (address.starts_with(kind) && address.size() > kind.size()) return {};
  return fail(Category::bad_input,
              fmt::format("'{}' is no address of a plant's store, expected sqlite:FILE, "
                          "folder:FOLDER or postgresql://…",
                          address));
}

Result<std::unique_ptr<PlantStore>> open_plant_store(const std::string& address, bool make) {
  if (Status known = check_address(address); !known) return tl::unexpected(known.error());
  if (address.starts_with(file))
    return as_store(SqlitePlant::open(address.substr(file.size()), make));
  if (address.starts_with(folder))
    return as_store(FolderPlant::open(address.substr(folder.size()), make));
  return as_store(PostgresPlant::open(address));
}

}  // namespace lastlook::sync
