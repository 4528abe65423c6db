// SPDX-License-Identifier: Apache-2.0
// What a command on statistics says, said four ways: a table for the terminal, JSON, a drawing, a
// page.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "analytics/bootstrap.h"
#include "analytics/marks.h"
#include "kiosk/commands/output.h"

namespace lastlook::commands {

// Tables and sentences in the order in which a person reads them.
class Reply {
 public:
  explicit Reply(std::string title) : title_(std::move(title)) {}
  void add(TextTable table) { parts_.emplace_back(std::move(table)); }
  void add(std::string sentence) { parts_.emplace_back(std::move(sentence)); }

  std::string text() const;
  // One self-contained page: the drawing first, then the parts.
  std::string html(const std::string& svg) const;

 private:
  std::string title_;
  std::vector<std::variant<TextTable, std::string>> parts_;
};

struct Delivery {
  std::string svg;
  std::string html;
  bool json = false;
};

// --svg, --html and --json.
void add_delivery(CLI::App* app, Delivery& delivery, const std::string& json_help);

// --resamples and --seed, of limits by resampling.
void add_resampling(CLI::App* app, analytics::BootstrapOptions& options);

// Writes the files that were asked for, then prints the JSON or the text.
Status deliver(const Delivery& delivery, const Reply& reply, const std::function<Json()>& json,
               const std::function<analytics::Chart()>& chart);

}  // namespace lastlook::commands
