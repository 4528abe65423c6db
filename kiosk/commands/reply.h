// SPDX-License-Identifier: Apache-2.0
// What a command on statistics or records says, said five ways: a table for the terminal, JSON, a
// drawing, a page, sheets of paper.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "analytics/bootstrap.h"
#include "analytics/marks.h"
#include "kiosk/commands/output.h"
#include "kiosk/reports/document.h"

namespace lastlook::commands {

// Tables and sentences in the order in which a person reads them.
class Reply {
 public:
  explicit Reply(std::string title) : title_(std::move(title)) {}
  void add(TextTable table) { parts_.emplace_back(std::move(table)); }
  void add(std::string sentence) { parts_.emplace_back(std::move(sentence)); }
  // What it was made from, for paper: a file, named there with its hash; or records, as they were
  // at a time (ISO 8601).
  void made_from_file(std::string file);  // empty: none
  void made_from_records(std::string what, std::string at);

  std::string text() const;
  // The drawing first, then the parts. An error where a file it was made from cannot be read again.
  Result<reports::Document> document(std::optional<analytics::Chart> drawing) const;

 private:
  Result<std::string> made_from() const;

  std::string title_;
  std::vector<std::variant<TextTable, std::string>> parts_;
  std::vector<std::string> files_;
  std::string records_, at_;
};

struct Delivery {
  std::string svg;
  std::string html;
  std::string pdf;
  std::string paper = "a4";
  bool json = false;
};

// --html, --pdf and --paper.
void add_pages(CLI::App* app, Delivery& delivery);
// The same, --svg and --json.
void add_delivery(CLI::App* app, Delivery& delivery, const std::string& json_help);

// --resamples and --seed, of limits by resampling.
void add_resampling(CLI::App* app, analytics::BootstrapOptions& options);

// Writes the page and the sheets that were asked for.
Status write_pages(const Delivery& delivery, const reports::Document& document);

// Writes the files that were asked for, then prints the JSON or the text.
Status deliver(
    const Delivery& delivery, const Reply& reply, const std::function<Json()>& json,
    const std::function<std::optional<analytics::Chart>()>& chart = [] { return std::nullopt; });

}  // namespace lastlook::commands
