// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/folder_office.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <optional>

#include "kiosk/records/durable.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;

std::string hash_of(const std::string& text) {
  return records::to_hex(records::hash_of_bytes(text));
}

// Short, for paths on a share have their limits.
std::string folder_of(const std::string& station) {
  return hash_of(station).substr(0, 16);
}

Status write_text(const fs::path& file, const std::string& text) {
  if (Status made = records::make_folder(file.parent_path()); !made) return made;
  return records::write_durably(
      file, std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

// In order; none where there is no such folder.
Result<std::vector<std::string>> names_in(const fs::path& folder) {
  std::vector<std::string> all;
  std::error_code error;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    all.push_back(at->path().filename().string());
  if (error && error != std::errc::no_such_file_or_directory)
    return fail(Category::io, fmt::format("{}: {}", folder.string(), error.message()));
  std::ranges::sort(all);
  return all;
}

// The number that a name begins with, of so many digits and before a '-'.
std::optional<std::int64_t> take_number(std::string_view& name, std::size_t digits) {
  std::int64_t n = 0;
  if (name.size() <= digits || name[digits] != '-') return std::nullopt;
  const auto [end, error] = std::from_chars(name.data(), name.data() + digits, n);
  if (error != std::errc() || end != name.data() + digits) return std::nullopt;
  name.remove_prefix(digits + 1);
  return n;
}

// nullopt: a file that is being written, or none of these.
std::optional<MasterPlace> place_of(std::string_view name) {
  const auto restores = take_number(name, 5);
  const auto seq = restores ? take_number(name, 12) : std::nullopt;
  if (!seq || name.size() < 34 || !name.ends_with(".jsonl")) return std::nullopt;
  return MasterPlace{*restores, *seq, std::string(name.substr(0, 32)),
                     std::string(name.substr(33))};
}

struct Said {
  std::int64_t number = 0;
  std::string hash, file;
};

// What was said last; number 0: nothing.
Result<Said> last_said(const fs::path& folder) {
  const auto names = names_in(folder);
  if (!names) return tl::unexpected(names.error());
  Said last;
  for (std::string_view name : *names) {
    const std::string file(name);
    const auto number = take_number(name, 12);
    if (number && name.size() == 69 && name.ends_with(".json"))
      last = {*number, std::string(name.substr(0, 64)), file};
  }
  return last;
}

}  // namespace

Result<std::string> FolderOffice::station() const {
  const auto last = last_said(folder_ / "office");
  if (!last || last->number == 0) return last.map([](const Said&) { return std::string(); });
  const fs::path file = folder_ / "office" / last->file;
  std::ifstream in(file, std::ios::binary);
  if (!in) return fail(Category::io, fmt::format("{}: cannot be read", file.string()));
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (hash_of(text) != last->hash || !json.is_object() || !json.contains("station") ||
      !json["station"].is_string())
    return fail(Category::damaged,
                fmt::format("what {} says last is not as it was written; 'lastlook plant office' "
                            "says anew which station it is",
                            (folder_ / "office").string()));
  return json["station"].get<std::string>();
}

Status FolderOffice::say(const std::string& station) {
  const auto last = last_said(folder_ / "office");
  if (!last) return tl::unexpected(last.error());
  const std::string text = nlohmann::json({{"station", station}}).dump() + '\n';
  const std::string name = fmt::format("{:012}-{}.json", last->number + 1, hash_of(text));
  return write_text(folder_ / "office" / name, text);
}

Status FolderOffice::mark(const std::string& station, const MasterPlace& place) {
  const std::string name =
      fmt::format("{:05}-{:012}-{}-{}", place.restores, place.seq, place.journal, place.file);
  return write_text(folder_ / "master" / folder_of(station) / name, "");
}

Result<std::vector<MasterPlace>> FolderOffice::places(const std::string& station) const {
  const auto names = names_in(folder_ / "master" / folder_of(station));
  if (!names) return tl::unexpected(names.error());
  std::vector<MasterPlace> all;
  for (const std::string& name : *names)
    if (auto place = place_of(name)) all.push_back(*std::move(place));
  std::ranges::reverse(all);
  return all;
}

}  // namespace lastlook::sync
