// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_page.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/durable.h"
#include "kiosk/reports/shift_report.h"

namespace lastlook::reports {
namespace {

// An id is any text that the plant chose; a file's name must not lead elsewhere.
std::string in_a_file_name(std::string id) {
  std::ranges::replace_if(
      id, [](char c) { return c == '/' || c == '\\' || static_cast<unsigned char>(c) < ' '; }, '_');
  return id;
}

}  // namespace

Result<std::filesystem::path> write_shift_report(const std::filesystem::path& folder,
                                                 const WhichShift& which, const text::Strings& say,
                                                 const domain::Reading& now) {
  const auto records = records::Records::open_to_read(folder);
  if (!records) return tl::unexpected(records.error());
  const auto facts = checked_shift_facts(**records, which, {}, now);
  if (!facts) return tl::unexpected(facts.error());
  const std::string html = shift_report_html(*facts, (*records)->master(), say);
  const std::filesystem::path file =
      folder / "reports" /
      fmt::format("shift-{}-{}.html", which.production_date, in_a_file_name(which.shift));
  const Status written = records::make_folder(file.parent_path()).and_then([&] {
    return records::write_durably(
        file, std::span(reinterpret_cast<const unsigned char*>(html.data()), html.size()));
  });
  if (!written) return tl::unexpected(written.error());
  return file;
}

}  // namespace lastlook::reports
