// SPDX-License-Identifier: Apache-2.0
// Structs as JSON objects, by their fields() (see fields.h): a word for an enumeration, null for an
// empty optional, an object for a struct within. Private to the records.
#pragma once

#include <cstdint>
#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <type_traits>
#include <vector>

#include "kiosk/domain/words.h"

namespace lastlook::records {

using Json = nlohmann::ordered_json;  // fields stand in the order in which they are named

// One line. Bytes that are no UTF-8 (a scanner may send anything) become U+FFFD.
inline std::string write_json(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

class JsonWriter {
 public:
  explicit JsonWriter(Json& json) : json_(json) {}

  template <class T>
  void operator()(const char* name, const T& value) {
    json_[name] = written(value);
  }

 private:
  template <class T>
  static Json written(const T& value) {
    if constexpr (std::is_enum_v<T>) {
      return std::string(domain::to_word(value));
    } else if constexpr (std::is_arithmetic_v<T> || std::is_same_v<T, std::string>) {
      return value;
    } else {
      Json object = Json::object();
      JsonWriter io(object);
      fields(io, value);
      return object;
    }
  }
  template <class T>
  static Json written(const std::optional<T>& value) {
    return value ? written(*value) : Json();
  }
  template <class T>
  static Json written(const std::vector<T>& values) {
    Json array = Json::array();
    for (const T& value : values) array.push_back(written(value));
    return array;
  }

  Json& json_;
};

// Reads until the first thing that is wrong; error() then names the field and what was expected.
class JsonReader {
 public:
  explicit JsonReader(const Json& json, std::string path = {})
      : json_(json), path_(std::move(path)) {}

  template <class T>
  void operator()(const char* name, T& value) {
    if (!error_.empty()) return;
    const auto found = json_.find(name);
    if (found == json_.end()) {
      error_ = "field '" + path_ + name + "' is missing";
    } else {
      read(*found, path_ + name, value);
    }
  }

  const std::string& error() const { return error_; }

 private:
  void expected(const std::string& path, const char* what) {
    error_ = "field '" + path + "' is not " + what;
  }

  template <class T>
  void read(const Json& json, const std::string& path, T& value) {
    if constexpr (std::is_enum_v<T>) {
      const auto* text = json.get_ptr<const std::string*>();
      const auto word = text ? domain::from_word<T>(*text) : std::nullopt;
      if (!word) return expected(path, "one of its words");
      value = *word;
    } else if constexpr (std::is_same_v<T, std::string>) {
      if (!json.is_string()) return expected(path, "a text");
      value = json.get_ref<const std::string&>();
    } else if constexpr (std::is_same_v<T, bool>) {
      if (!json.is_boolean()) return expected(path, "true or false");
      value = json.get<bool>();
    } else if constexpr (std::is_integral_v<T>) {
      read_integer(json, path, value);
    } else if constexpr (std::is_floating_point_v<T>) {
      if (!json.is_number() && !json.is_null()) return expected(path, "a number");
      value = json.is_null() ? std::numeric_limits<T>::quiet_NaN() : json.get<T>();
    } else {
      if (!json.is_object()) return expected(path, "an object");
      JsonReader inner(json, path + ".");
      fields(inner, value);
      error_ = inner.error();
    }
  }
  template <class T>
  void read(const Json& json, const std::string& path, std::optional<T>& value) {
    value.reset();
    if (!json.is_null()) read(json, path, value.emplace());
  }
  template <class T>
  void read(const Json& json, const std::string& path, std::vector<T>& values) {
    if (!json.is_array()) return expected(path, "a list");
    values.clear();
    for (const Json& one : json) {
      if (!error_.empty()) return;
      const std::string where = path + "[" + std::to_string(values.size()) + "]";
      read(one, where, values.emplace_back());
    }
  }

  template <class T>
  void read_integer(const Json& json, const std::string& path, T& value) {
    if (!json.is_number_integer()) return expected(path, "a whole number");
    const auto wide = json.get<std::int64_t>();
    if (wide < std::numeric_limits<T>::min() || wide > std::numeric_limits<T>::max())
      return expected(path, "a number of its range");
    value = static_cast<T>(wide);
  }

  const Json& json_;
  std::string path_;
  std::string error_;
};

}  // namespace lastlook::records
