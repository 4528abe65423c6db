// SPDX-License-Identifier: Apache-2.0
// Reading JSON that a person may have written: every complaint names the path and what was
// expected. Complaints are thrown as Error within this library and caught at its border.
#pragma once

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/words.h"

namespace lastlook::text {

class JsonCursor {
 public:
  JsonCursor(const nlohmann::json& value, std::string path)
      : value_(value), path_(std::move(path)) {}

  bool has(const char* key) const { return value_.is_object() && value_.contains(key); }

  JsonCursor at(const char* key) const {
    if (!value_.is_object()) complain("expected an object");
    const auto found = value_.find(key);
    const std::string path = path_.empty() ? key : fmt::format("{}.{}", path_, key);
    if (found == value_.end()) throw Error{Category::bad_input, path + ": is missing"};
    return {*found, path};
  }

  JsonCursor object(const char* key) const {
    const JsonCursor inside = at(key);
    if (!inside.value_.is_object()) inside.complain("expected an object");
    return inside;
  }

  std::vector<JsonCursor> items() const {
    if (!value_.is_array()) complain("expected a list");
    std::vector<JsonCursor> all;
    for (std::size_t i = 0; i < value_.size(); ++i)
      all.emplace_back(value_[i], fmt::format("{}[{}]", path_, i));
    return all;
  }

  std::string text() const {
    if (!value_.is_string()) complain("expected a text");
    return value_.get<std::string>();
  }

  std::int64_t integer() const {
    if (!value_.is_number_integer()) complain("expected a whole number");
    return value_.get<std::int64_t>();
  }

  int small_integer() const {
    const std::int64_t number = integer();
    if (number < -1'000'000 || number > 1'000'000)
      complain("expected a whole number of at most a million");
    return static_cast<int>(number);
  }

  bool yes_or_no() const {
    if (!value_.is_boolean()) complain("expected true or false");
    return value_.get<bool>();
  }

  double fraction() const {
    if (!value_.is_number() || value_.get<double>() < 0.0 || value_.get<double>() > 1.0)
      complain("expected a number from 0 to 1");
    return value_.get<double>();
  }

  // One of the spellings of a type in domain/words.h; `choices` says them for the complaint.
  template <class Word>
  Word word(const char* choices) const {
    const auto known = domain::from_word<Word>(text());
    if (!known) complain(fmt::format("expected {}", choices));
    return *known;
  }

  [[noreturn]] void complain(const std::string& expected) const {
    throw Error{Category::bad_input,
                fmt::format("{}: {} is not right, {}", path_.empty() ? "(top)" : path_,
                            value_.dump().substr(0, 40), expected)};
  }

 private:
  const nlohmann::json& value_;
  std::string path_;
};

}  // namespace lastlook::text
