// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/folder_pictures.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "kiosk/records/durable.h"
#include "kiosk/sync/picture_bytes.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;

std::string part_of(const std::string& picture) {
  return picture + ".part";
}

Result<std::string> read_all(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream all;
  all << in.rdbuf();
  if (!in || !all) return fail(Category::io, fmt::format("{}: cannot be read", file.string()));
  return all.str();
}

// 0: there is none.
Result<std::int64_t> size_of(const fs::path& file) {
  std::error_code error;
  const auto size = fs::file_size(file, error);
  if (!error) return static_cast<std::int64_t>(size);
  if (error == std::errc::no_such_file_or_directory) return 0;
  return fail(Category::io, fmt::format("{}: {}", file.string(), error.message()));
}

Status append(const fs::path& file, std::span<const unsigned char> bytes) {
  {
    std::ofstream out(file, std::ios::binary | std::ios::app);
    out.write(reinterpret_cast<const char*>(bytes.data()), std::ssize(bytes));
    out.flush();
    if (!out) return fail(Category::io, fmt::format("{}: cannot be written", file.string()));
  }
  return records::sync_to_disk(file);
}

}  // namespace

fs::path FolderPictures::folder_of(const std::string& journal) const {
  return folder_ / journal / "pictures";
}

Result<std::int64_t> FolderPictures::complete_to(const std::string& journal) {
  const fs::path file = folder_of(journal) / "complete.json";
  std::ifstream in(file);
  if (!in) return 0;
  // Cannot be understood: nothing is known, which costs time only.
  const auto json = nlohmann::json::parse(in, nullptr, false);
  if (!json.is_object() || !json.contains("seq") || !json["seq"].is_number_integer()) return 0;
  return json["seq"].get<std::int64_t>();
}

Status FolderPictures::note_complete_to(const std::string& journal, std::int64_t seq) {
  const fs::path file = folder_of(journal) / "complete.json";
  if (Status made = records::make_folder(file.parent_path()); !made) return made;
  const std::string text = nlohmann::json({{"seq", seq}}).dump();
  return records::write_durably(
      file, std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

Result<HeldPicture> FolderPictures::held(const PictureName& name) {
  const fs::path folder = folder_of(name.journal);
  const auto whole = size_of(folder / name.picture);
  if (!whole) return tl::unexpected(whole.error());
  if (*whole > 0) return HeldPicture{*whole, true};
  const auto part = size_of(folder / part_of(name.picture));
  if (!part) return tl::unexpected(part.error());
  return HeldPicture{*part, false};
}

Status FolderPictures::take(const PictureName& name, std::int64_t from,
                            std::span<const unsigned char> part, bool last) {
  const auto held = this->held(name);
  if (!held) return tl::unexpected(held.error());
  if (Status fits = check_part(name, *held, from, part); !fits) return fits;
  std::error_code error;
  if (!fs::is_directory(folder_ / name.journal, error))
    return fail(Category::refused, fmt::format("the store has no journal {}", name.journal));
  const fs::path folder = folder_of(name.journal), file = folder / part_of(name.picture);
  if (Status made = records::make_folder(folder); !made) return made;
  if (Status added = append(file, part); !added) return added;
  if (!last) return {};
  const auto all = read_all(file);
  if (!all) return tl::unexpected(all.error());
  const bool good = has_hash(*all, name.picture);
  if (good)
    fs::rename(file, folder / name.picture, error);
  else
    fs::remove(file, error);
  if (error) return fail(Category::io, fmt::format("{}: {}", file.string(), error.message()));
  return good ? records::sync_to_disk(folder) : other_bytes(name, Category::refused);
}

Result<std::vector<std::string>> FolderPictures::whole(const std::string& journal) {
  std::vector<std::string> all;
  std::error_code error;
  for (fs::directory_iterator at(folder_of(journal), error), end; !error && at != end;
       at.increment(error)) {
    const std::string name = at->path().filename().string();
    if (name.size() == 64) all.push_back(name);
  }
  if (error && error != std::errc::no_such_file_or_directory)
    return fail(Category::io, fmt::format("{}: {}", folder_of(journal).string(), error.message()));
  std::ranges::sort(all);
  return all;
}

Result<std::string> FolderPictures::bytes(const PictureName& name) {
  const fs::path file = folder_of(name.journal) / name.picture;
  std::error_code error;
  if (!fs::exists(file, error)) return not_here(name);
  auto all = read_all(file);
  if (all && !has_hash(*all, name.picture)) return other_bytes(name, Category::damaged);
  return all;
}

}  // namespace lastlook::sync
