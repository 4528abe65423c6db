// SPDX-License-Identifier: Apache-2.0
// What the commands on statistics share in saying their results.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::commands {

using Json = nlohmann::ordered_json;

// Puts the error's place in front: "study.csv: line 3: …".
tl::unexpected<Error> in_file(const std::string& file, Error error);

Status write_text_file(const std::string& path, const std::string& text);

// Numbers that may not be defined: each becomes null and leaves its reason.
class Notes {
 public:
  // `where` names the value as a reader of the JSON would: "pairs A B kappa".
  template <class T, class Value>
  Json value(const Result<T>& result, const std::string& where, Value value) {
    if (result) return value(*result);
    list_.push_back(where + ": " + result.error().message);
    return nullptr;
  }
  Json value(const Result<double>& result, const std::string& where) {
    return value(result, where, [](double number) { return Json(number); });
  }
  void add(std::string note) { list_.push_back(std::move(note)); }
  const std::vector<std::string>& list() const { return list_; }

 private:
  std::vector<std::string> list_;
};

// Rows of text in columns for a terminal: names to the left, numbers to the right.
class TextTable {
 public:
  // `align` has one letter a column: 'l' or 'r'.
  explicit TextTable(std::string align) : align_(std::move(align)) {}
  void row(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }
  std::string text() const;

  const std::vector<std::vector<std::string>>& rows() const { return rows_; }  // heading first
  const std::string& align() const { return align_; }

 private:
  std::string align_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace lastlook::commands
