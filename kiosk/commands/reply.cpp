// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/reply.h"

#include <fmt/format.h>

#include "analytics/svg.h"
#include "kiosk/reports/html.h"

namespace lastlook::commands {
namespace {

std::string html_of(const TextTable& table) {
  if (table.rows().empty()) return "";
  const std::vector<std::vector<std::string>> rows(table.rows().begin() + 1, table.rows().end());
  return "<section>" + reports::table(table.rows().front(), rows, table.align()) + "</section>\n";
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

std::string Reply::html(const std::string& svg) const {
  std::string body = "<header><h1>" + reports::escaped(title_) + "</h1></header>\n";
  if (!svg.empty()) body += "<section><figure>\n" + svg + "</figure></section>\n";
  for (const auto& part : parts_) {
    if (const auto* table = std::get_if<TextTable>(&part)) {
      body += html_of(*table);
    } else {
      body += "<p class=\"more\">" + reports::escaped(std::get<std::string>(part)) + "</p>\n";
    }
  }
  return reports::page(title_, "en", body);
}

void add_delivery(CLI::App* app, Delivery& delivery, const std::string& json_help) {
  app->add_option("--svg", delivery.svg, "Draws the chart into this file");
  app->add_option("--html", delivery.html, "Writes one page with drawing and table into this file");
  app->add_flag("--json", delivery.json, json_help);
}

void add_resampling(CLI::App* app, analytics::BootstrapOptions& options) {
  app->add_option("--resamples", options.resamples,
                  "Resamples of the units, or draws, that limits are made of")
      ->check(CLI::Range(100, 1000000))
      ->capture_default_str();
  app->add_option("--seed", options.seed, "Of the resamples")->capture_default_str();
}

Status deliver(const Delivery& delivery, const Reply& reply, const std::function<Json()>& json,
               const std::function<analytics::Chart()>& chart) {
  const bool draws = !delivery.svg.empty() || !delivery.html.empty();
  const std::string svg = draws ? to_svg(chart()) : "";
  if (!delivery.svg.empty()) {
    if (const Status s = write_text_file(delivery.svg, svg); !s) return s;
  }
  if (!delivery.html.empty()) {
    if (const Status s = write_text_file(delivery.html, reply.html(svg)); !s) return s;
  }
  fmt::print("{}", delivery.json ? json().dump(2) + "\n" : reply.text());
  return {};
}

}  // namespace lastlook::commands
