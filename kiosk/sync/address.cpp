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

}  // namespace

Result<std::unique_ptr<PlantStore>> open_plant_store(const std::string& address, bool make) {
  constexpr std::string_view file = "sqlite:", folder = "folder:";
  if (address.starts_with(file) && address.size() > file.size())
    return as_store(SqlitePlant::open(address.substr(file.size()), make));
  if (address.starts_with(folder) && address.size() > folder.size())
    return as_store(FolderPlant::open(address.substr(folder.size()), make));
  if (address.starts_with("postgresql://") || address.starts_with("postgres://"))
    return as_store(PostgresPlant::open(address));
  return fail(Category::bad_input,
              fmt::format("'{}' is no address of a plant's store, expected sqlite:FILE, "
                          "folder:FOLDER or postgresql://…",
                          address));
}

}  // namespace lastlook::sync
