// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_page.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/durable.h"
#include "kiosk/reports/html.h"
#include "kiosk/reports/pdf.h"
#include "kiosk/reports/shift_report.h"

namespace lastlook::reports {
namespace {

// An id is any text that the plant chose; a file's name must not lead elsewhere.
std::string in_a_file_name(std::string id) {
  std::ranges::replace_if(
      id, [](char c) { return c == '/' || c == '\\' || static_cast<unsigned char>(c) < ' '; }, '_');
  return id;
}

Status write(const std::filesystem::path& file, const std::string& bytes) {
  return records::write_durably(
      file, std::span(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()));
}

}  // namespace

Result<std::filesystem::path> write_shift_report(const std::filesystem::path& folder,
                                                 const WhichShift& which, const text::Strings& say,
                                                 const domain::Reading& now) {
  const auto records = records::Records::open_to_read(folder);
  if (!records) return tl::unexpected(records.error());
  const auto facts = checked_shift_facts(**records, which, {}, now);
  if (!facts) return tl::unexpected(facts.error());
  const Document report = shift_report(*facts, (*records)->master(), say);
  const auto pdf = to_pdf(report, Paper::a4);
  if (!pdf) return tl::unexpected(pdf.error());
  const std::string name =
      fmt::format("shift-{}-{}", which.production_date, in_a_file_name(which.shift));
  const std::filesystem::path page = folder / "reports" / (name + ".html");
  const Status written =
      records::make_folder(page.parent_path())
          .and_then([&] { return write(page.parent_path() / (name + ".pdf"), pdf->bytes); })
          .and_then([&] { return write(page, to_html(report)); });
  if (!written) return tl::unexpected(written.error());
  return page;
}

}  // namespace lastlook::reports
