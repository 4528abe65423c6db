// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/reply.h"

#include <fmt/format.h>

#include <filesystem>

#include "analytics/svg.h"
#include "kiosk/records/durable.h"
#include "kiosk/records/entry.h"
#include "kiosk/reports/html.h"
#include "kiosk/reports/pdf.h"

namespace lastlook::commands {
namespace {

reports::Table as_table(const TextTable& table) {
  return {table.rows().front(), {table.rows().begin() + 1, table.rows().end()}, table.align()};
}

// What came through a pipe is gone: it has a name and no hash.
Result<std::string> with_hash(const std::string& file) {
  const std::string name = std::filesystem::path(file).filename().string();
  std::error_code trouble;
  if (!std::filesystem::is_regular_file(file, trouble)) return name;
  const auto hash = records::hash_of_file(file);
  if (!hash) return tl::unexpected(hash.error());
  return name + ", BLAKE2b-256 " + records::to_hex(*hash);
}

}  // namespace

std::string Reply::text() const {
  std::string out;
  for (const auto& part : parts_) {
    if (const auto* table = std::get_if<TextTable>(&part)) {
      out += (out.empty() ? "" : "\n") + table->text();
    } else {
      out += std::get<std::string>(part) + "\n";
    }
  }
  return out;
}

void Reply::made_from_file(std::string file) {
  if (!file.empty()) files_.push_back(std::move(file));
}

void Reply::made_from_records(std::string what, std::string at) {
  records_ = std::move(what);
  at_ = std::move(at);
}

Result<std::string> Reply::made_from() const {
  std::string all = records_;
  for (const std::string& file : files_) {
    const auto one = with_hash(file);
    if (!one) return one;
    all += (all.empty() ? "" : "; ") + *one;
  }
  return all;
}

Result<reports::Document> Reply::document(std::optional<analytics::Chart> drawing) const {
  auto from = made_from();
  if (!from) return tl::unexpected(from.error());
  reports::Document document;
  document.title = title_;
  document.made_from = *std::move(from);
  document.made_at = at_;
  if (drawing) document.blocks.emplace_back(*std::move(drawing));
  for (const auto& part : parts_) {
    if (const auto* table = std::get_if<TextTable>(&part)) {
      if (!table->rows().empty()) document.blocks.emplace_back(as_table(*table));
    } else {
      document.blocks.emplace_back(
          reports::Paragraph{reports::Tone::more, std::get<std::string>(part)});
    }
  }
  return document;
}

void add_pages(CLI::App* app, Delivery& delivery) {
  app->add_option("--html", delivery.html, "Writes all of it as one page into this file");
  auto* pdf =
      app->add_option("--pdf", delivery.pdf, "Writes it as a PDF, to print, into this file");
  app->add_option("--paper", delivery.paper, "With --pdf: a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->needs(pdf)
      ->capture_default_str();
}

void add_delivery(CLI::App* app, Delivery& delivery, const std::string& json_help) {
  app->add_option("--svg", delivery.svg, "Draws the chart into this file");
  add_pages(app, delivery);
  app->add_flag("--json", delivery.json, json_help);
}

void add_resampling(CLI::App* app, analytics::BootstrapOptions& options) {
  app->add_option("--resamples", options.resamples,
                  "Resamples of the units, or draws, that limits are made of")
      ->check(CLI::Range(100, 1000000))
      ->capture_default_str();
  app->add_option("--seed", options.seed, "Of the resamples")->capture_default_str();
}

Status write_pages(const Delivery& delivery, const reports::Document& document) {
  if (!delivery.html.empty()) {
    if (const Status s = write_text_file(delivery.html, to_html(document)); !s) return s;
  }
  if (delivery.pdf.empty()) return {};
  const auto pdf =
      to_pdf(document, delivery.paper == "letter" ? reports::Paper::letter : reports::Paper::a4);
  if (!pdf) return in_file(delivery.pdf, pdf.error());
  if (!pdf->missing.empty())
    fmt::print(stderr, "lastlook: {}: no font here has these letters, boxes stand for them: {}\n",
               delivery.pdf, pdf->missing);
  return write_text_file(delivery.pdf, pdf->bytes);
}

Status deliver(const Delivery& delivery, const Reply& reply, const std::function<Json()>& json,
               const std::function<std::optional<analytics::Chart>()>& chart) {
  const bool pages = !delivery.html.empty() || !delivery.pdf.empty();
  std::optional<analytics::Chart> drawing;
  if (pages || !delivery.svg.empty()) drawing = chart();
  if (!delivery.svg.empty()) {
    if (const Status s = write_text_file(delivery.svg, to_svg(*drawing)); !s) return s;
  }
  if (pages) {
    const Status s = reply.document(std::move(drawing)).and_then([&](const auto& document) {
      return write_pages(delivery, document);
    });
    if (!s) return s;
  }
  fmt::print("{}", delivery.json ? json().dump(2) + "\n" : reply.text());
  return {};
}

}  // namespace lastlook::commands
