// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/result_file.h"

#include <algorithm>
#include <optional>

#include "kiosk/domain/calendar.h"
#include "kiosk/domain/clock.h"
#include "kiosk/text/csv.h"

namespace lastlook::text {
namespace {

constexpr std::string_view header =
    "serial,variant or serial,part,lot or serial,test,result,value,measured";

struct Columns {
  std::size_t serial = 0;
  std::optional<std::size_t> variant, made, part, lot, test, result, value, measured;
};

Result<Columns> find_columns(const CsvReader& csv) {
  Columns columns;
  const auto serial = csv.require("serial", header);
  if (!serial) return tl::unexpected(serial.error());
  columns.serial = *serial;
  columns.variant = csv.find("variant");
  columns.made = csv.find("made");
  columns.part = csv.find("part");
  if (columns.part) {
    const auto lot = csv.require("lot", header);
    if (!lot) return tl::unexpected(lot.error());
    columns.lot = *lot;
  }
  columns.test = csv.find("test");
  columns.value = csv.find("value");
  if ((!columns.variant && !columns.part) || columns.test) {
    for (const auto& [name, into] : {std::pair{"test", &columns.test},
                                     {"result", &columns.result},
                                     {"measured", &columns.measured}}) {
      const auto column = csv.require(name, header);
      if (!column) return tl::unexpected(column.error());
      *into = *column;
    }
  }
  return columns;
}

Result<domain::UpstreamResult> read_result(const CsvReader& csv, const Columns& columns) {
  domain::UpstreamResult result;
  const auto test = domain::from_word<domain::UpstreamTest>(csv.field(*columns.test));
  if (!test)
    return csv.expected(*columns.test, "dimensions, leak, fill_mass, torque_angle or functional");
  result.test = *test;
  const std::string_view verdict = csv.field(*columns.result);
  if (verdict != "passed" && verdict != "failed")
    return csv.expected(*columns.result, "passed or failed");
  result.passed = verdict == "passed";
  if (columns.value) result.value = csv.field(*columns.value);
  const auto measured = domain::moment_of(csv.field(*columns.measured));
  if (!measured)
    return csv.expected(*columns.measured, "a time with its offset, 2026-11-25T06:12:03+01:00");
  result.measured_us = *measured;
  return result;
}

Result<domain::UnitBuilt> read_build(const CsvReader& csv, const Columns& columns) {
  domain::UnitBuilt built;
  built.variant = csv.field(*columns.variant);
  if (!columns.made || csv.blank(*columns.made)) return built;
  built.made = csv.field(*columns.made);
  if (!domain::is_date(built.made)) return csv.expected(*columns.made, "a day, 2026-11-25");
  return built;
}

Result<domain::FittedPart> read_part(const CsvReader& csv, const Columns& columns) {
  const auto part = csv.name(*columns.part);
  if (!part) return tl::unexpected(part.error());
  const auto lot = csv.name(*columns.lot);
  if (!lot) return tl::unexpected(lot.error());
  return domain::FittedPart{std::string(*part), std::string(*lot)};
}

void fit(std::vector<domain::PartsFitted>& all, const std::string& serial,
         domain::FittedPart part) {
  const auto known = std::ranges::find(all, serial, &domain::PartsFitted::serial);
  if (known == all.end())
    all.push_back({serial, {std::move(part)}});
  else if (std::ranges::count(known->parts, part) == 0)
    known->parts.push_back(std::move(part));
}

}  // namespace

Result<ResultFile> read_result_file(const std::string& path) {
  auto csv = CsvReader::open(path);
  if (!csv) return tl::unexpected(csv.error());
  const auto columns = find_columns(*csv);
  if (!columns) return tl::unexpected(columns.error());
  ResultFile file;
  for (;;) {
    const auto more = csv->next();
    if (!more) return tl::unexpected(more.error());
    if (!*more) return file;
    const auto serial = csv->name(columns->serial);
    if (!serial) return tl::unexpected(serial.error());
    const bool has_variant = columns->variant && !csv->blank(*columns->variant);
    const bool has_test = columns->test && !csv->blank(*columns->test);
    const bool has_part = columns->part && !csv->blank(*columns->part);
    if (!has_variant && !has_test && !has_part)
      return csv->expected_in_row("a variant, a part or a test");
    if (has_variant) {
      auto built = read_build(*csv, *columns);
      if (!built) return tl::unexpected(built.error());
      built->serial = *serial;
      file.built.push_back(*std::move(built));
    }
    if (has_part) {
      auto part = read_part(*csv, *columns);
      if (!part) return tl::unexpected(part.error());
      fit(file.fitted, std::string(*serial), *std::move(part));
    }
    if (!has_test) continue;
    auto result = read_result(*csv, *columns);
    if (!result) return tl::unexpected(result.error());
    file.results.push_back({std::string(*serial), *std::move(result), false, "", ""});
  }
}

}  // namespace lastlook::text
