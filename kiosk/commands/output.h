// SPDX-License-Identifier: Apache-2.0
// What the commands on statistics share in saying their results.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::commands {

using Json = nlohmann::ordered_json;

// Puts the error's place in front: "study.csv: line 3: …".
tl::unexpected<Error> in_file(const std::string& file, Error error);

Status write_text_file(const std::string& path, const std::string& text);

// Numbers that may not be defined: each becomes null and leaves its reason.
class Notes {
 public:
  // `of` and `name` say which value it is, as a reader of the JSON would: "pairs A B", "kappa".
  template <class T, class Value>
  Json value(const Result<T>& result, const std::string& of, const std::string& name, Value value) {
    if (result) return value(*result);
    undefined(of, name, result.error().message);
    return nullptr;
  }
  Json value(const Result<double>& result, const std::string& of, const std::string& name) {
    return value(result, of, name, [](double number) { return Json(number); });
  }
  // Both ends, under the names prefix + "low" and prefix + "high".
  void limits(Json& out, const std::string& prefix, const Result<analytics::Interval>& limits,
              const std::string& of, double scale = 1);

  // Values that have one reason in common share a line: "pairs A B kappa, se: no item in common".
  void undefined(const std::string& of, const std::string& name, const std::string& reason);
  void add(std::string note) { list_.push_back({"", {std::move(note)}, ""}); }
  std::vector<std::string> list() const;

 private:
  struct Note {
    std::string of;
    std::vector<std::string> names;
    std::string reason;
  };
  std::vector<Note> list_;
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
