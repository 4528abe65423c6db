// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/receive.h"

#include <fmt/format.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <variant>

#include "kiosk/records/durable.h"
#include "kiosk/text/csv.h"
#include "kiosk/text/master_json.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;

constexpr const char* note_name = "received.json";
constexpr int rows_a_file = 500;

// A note that is not there or cannot be understood: from the beginning, which costs time only.
std::string read_mark(const fs::path& folder) {
  std::ifstream in(folder / note_name);
  const auto json = nlohmann::json::parse(in, nullptr, false);
  if (!json.is_object() || !json.contains("mark") || !json["mark"].is_string()) return {};
  return json["mark"].get<std::string>();
}

Status write_text(const fs::path& file, const std::string& text) {
  return records::write_durably(
      file, std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

std::string as_csv(const std::vector<GivenResult>& rows) {
  std::string text = "serial,variant,test,result,value,measured,made,part,lot\n";
  for (const GivenResult& row : rows) {
    std::string line;
    for (const std::string* field : {&row.serial, &row.variant, &row.test, &row.result, &row.value,
                                     &row.measured, &row.made, &row.part, &row.lot})
      line += (line.empty() ? "" : ",") + text::csv_field(*field);
    text += line + "\n";
  }
  return text;
}

}  // namespace

Result<std::int64_t> receive_results(const fs::path& folder, PlantStore& plant) {
  std::int64_t rows = 0;
  for (std::string mark = read_mark(folder);;) {
    const auto given = plant.results_after(mark, rows_a_file);
    if (!given) return tl::unexpected(given.error());
    if (given->rows.empty()) return rows;
    mark = given->mark;
    const fs::path file = folder / "incoming" / fmt::format("plant-{}.csv", mark);
    Status kept = records::make_folder(file.parent_path());
    if (kept) kept = write_text(file, as_csv(given->rows));
    if (kept) kept = write_text(folder / note_name, nlohmann::json({{"mark", mark}}).dump());
    if (!kept) return tl::unexpected(kept.error());
    rows += static_cast<std::int64_t>(given->rows.size());
  }
}

Result<std::optional<domain::MasterAdopted>> newer_master(PlantStore& plant,
                                                          std::int64_t revision) {
  const auto entry = plant.newest_master();
  if (!entry && entry.error().category == Category::damaged)
    return fail(Category::damaged, "the plant's master data: " + entry.error().message);
  if (!entry) return tl::unexpected(entry.error());
  if (!*entry) return std::nullopt;
  const auto wrong = [&](const std::string& what) {
    return fail(Category::damaged,
                fmt::format("the plant's master data, entry {} of journal {}: {}", (*entry)->seq,
                            (*entry)->journal.substr(0, 12), what));
  };
  if (records::hash_of(**entry) != (*entry)->hash) return wrong("it is not as it was written");
  const auto happening = records::decode(**entry);
  if (!happening) return wrong(happening.error().message);
  const auto* adopted = std::get_if<domain::MasterAdopted>(&*happening);
  if (!adopted) return wrong("it is no master data");
  if (adopted->revision <= revision) return std::nullopt;
  // A document that this program cannot read is told by whoever tries to adopt it.
  const auto master = text::read_master(adopted->document);
  if (master && master->revision != adopted->revision)
    return wrong(fmt::format("it promises revision {} and its document is of revision {}",
                             adopted->revision, master->revision));
  return *adopted;
}

}  // namespace lastlook::sync
