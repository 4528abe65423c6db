// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/csv.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <filesystem>

namespace lastlook::text {
namespace {

constexpr std::size_t kChunk = 1U << 20U;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

// For a message: one line, not too long.
std::string shown(std::string_view text) {
  constexpr std::size_t kMost = 60;
  if (!is_utf8(text)) return "bytes that are not UTF-8";
  std::string out;
  for (const char c : text) out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
  if (out.size() > kMost) {
    std::size_t end = kMost;
    while (end > 0 && (static_cast<unsigned char>(out[end]) & 0xC0U) == 0x80U) --end;
    out = out.substr(0, end) + "…";
  }
  return "'" + out + "'";
}

char separator_of(std::string_view buffer) {
  std::int64_t commas = 0;
  std::int64_t semicolons = 0;
  bool quoted = false;
  for (const char c : buffer) {
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == '\n') break;
    commas += c == ',' ? 1 : 0;
    semicolons += c == ';' ? 1 : 0;
  }
  return semicolons > commas ? ';' : ',';
}

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  return out;
}

}  // namespace

bool is_utf8(std::string_view text) {
  const auto* at = reinterpret_cast<const unsigned char*>(text.data());
  const auto* end = at + text.size();
  while (at < end) {
    const unsigned char first = *at++;
    if (first == 0) return false;
    if (first < 0x80) continue;
    const int more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
    if (first < 0xC2 || first > 0xF4 || end - at < more) return false;
    std::uint32_t code = first & (0x3FU >> static_cast<unsigned>(more));
    for (int i = 0; i < more; ++i, ++at) {
      if ((*at & 0xC0U) != 0x80U) return false;
      code = code << 6U | (*at & 0x3FU);
    }
    const bool overlong = (more == 2 && code < 0x800) || (more == 3 && code < 0x10000);
    if (overlong || (code >= 0xD800 && code <= 0xDFFF) || code > 0x10FFFF) return false;
  }
  return true;
}

std::string csv_field(std::string_view text) {
  const bool plain = text.find_first_of(",;\"\r\n") == std::string_view::npos &&
                     trimmed(text).size() == text.size();
  if (plain) return std::string(text);
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

Result<CsvReader> CsvReader::open(const std::string& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    return fail(Category::bad_input, path + ": is a folder, expected a CSV file");
  }
  CsvReader reader;
  reader.source_ = path;
  reader.file_ = std::make_unique<std::ifstream>(path, std::ios::binary);
  if (!*reader.file_) return fail(Category::not_found, path + ": no such file can be read");
  const auto size = std::filesystem::file_size(path, error);
  reader.size_ = error ? 0 : static_cast<double>(size);
  if (const Status status = reader.read_header(); !status) return tl::unexpected(status.error());
  return reader;
}

Result<CsvReader> CsvReader::from_text(std::string name, std::string text) {
  CsvReader reader;
  reader.source_ = std::move(name);
  reader.buffer_ = std::move(text);
  reader.ended_ = true;
  if (const Status status = reader.read_header(); !status) return tl::unexpected(status.error());
  return reader;
}

// Drops what was read and appends the next chunk. False where the file has ended.
bool CsvReader::refill() {
  if (ended_) return false;
  buffer_.erase(0, at_);
  at_ = 0;
  const std::size_t kept = buffer_.size();
  // A row longer than a chunk: read ever more, so that the work stays linear.
  const std::size_t room = std::max(kChunk, kept);
  buffer_.resize(kept + room);
  file_->read(buffer_.data() + kept, static_cast<std::streamsize>(room));
  const auto got = static_cast<std::size_t>(file_->gcount());
  buffer_.resize(kept + got);
  taken_ += static_cast<double>(got);
  failed_ = file_->bad();
  ended_ = got < room;
  return true;
}

double CsvReader::progress() const {
  return size_ > 0 ? std::min(1.0, (taken_ - static_cast<double>(buffer_.size() - at_)) / size_)
                   : 0;
}

// Takes a field that opens with a quote; `at` moves behind its closing quote.
CsvReader::Parsed CsvReader::take_quoted(std::size_t& at, std::int64_t& lines) {
  const std::size_t end = buffer_.size();
  const std::size_t copied = unquoted_.size();
  bool halved = false;
  std::size_t start = ++at;
  for (;; ++at) {
    if (at == end) return ended_ ? Parsed::open_quote : Parsed::more;
    if (buffer_[at] == '\n') ++lines;
    if (buffer_[at] != '"') continue;
    if (at + 1 == end && !ended_) return Parsed::more;
    if (at + 1 == end || buffer_[at + 1] != '"') break;
    // Room for the whole row at once: views into it must not move.
    if (!halved) unquoted_.reserve(std::max(unquoted_.capacity(), end - at_));
    halved = true;
    unquoted_.append(buffer_, start, at + 1 - start);
    start = ++at + 1;
  }
  if (halved) unquoted_.append(buffer_, start, at - start);
  fields_.push_back(halved ? std::string_view(unquoted_).substr(copied)
                           : std::string_view(buffer_).substr(start, at - start));
  ++at;
  if (at < end && buffer_[at] == '\r') {
    if (at + 1 == end && !ended_) return Parsed::more;
    if (at + 1 == end || buffer_[at + 1] == '\n') ++at;
  }
  return at == end || buffer_[at] == separator_ || buffer_[at] == '\n' ? Parsed::row
                                                                       : Parsed::bad_quote;
}

CsvReader::Parsed CsvReader::take_plain(std::size_t& at) {
  const char* const bytes = buffer_.data();
  const std::size_t end = buffer_.size();
  const std::size_t start = at;
  while (at < end && bytes[at] != separator_ && bytes[at] != '\n') ++at;
  std::size_t stop = at;
  const bool last = at == end || bytes[at] == '\n';
  if (last && stop > start && bytes[stop - 1] == '\r') --stop;
  fields_.emplace_back(bytes + start, stop - start);
  return Parsed::row;
}

// Takes one row from the buffer. `more`: the buffer ends within it, nothing was taken.
CsvReader::Parsed CsvReader::parse() {
  fields_.clear();
  unquoted_.clear();
  if (at_ == buffer_.size()) return ended_ ? Parsed::end : Parsed::more;
  std::size_t at = at_;
  std::int64_t lines = 0;
  for (bool more_fields = true; more_fields;) {
    const bool quoted = at < buffer_.size() && buffer_[at] == '"';
    const Parsed field = quoted ? take_quoted(at, lines) : take_plain(at);
    if (field != Parsed::row) return field;
    if (at == buffer_.size()) {
      if (!ended_) return Parsed::more;
      break;
    }
    more_fields = buffer_[at++] == separator_;
  }
  at_ = at;
  line_ = next_line_;
  next_line_ += lines + 1;
  return fields_.size() == 1 && trimmed(fields_[0]).empty() ? Parsed::blank : Parsed::row;
}

Result<bool> CsvReader::next() {
  for (;;) {
    switch (parse()) {
      case Parsed::blank:
        continue;
      case Parsed::more:
        refill();
        if (failed_) return fail(Category::io, source_ + ": the disk stopped in the middle");
        continue;
      case Parsed::end:
        return false;
      case Parsed::open_quote:
        line_ = next_line_;
        return expected(fields_.size(), "the quote that opens this field to be closed");
      case Parsed::bad_quote:
        line_ = next_line_;
        return expected(fields_.size() - 1,
                        "a separator or the line's end after the closing quote");
      case Parsed::row:
        if (header_.empty() || fields_.size() == header_.size()) return true;
        return expected(std::min(header_.size(), fields_.size()),
                        fmt::format("{} fields as in the first line, found {}", header_.size(),
                                    fields_.size()));
    }
  }
}

Status CsvReader::read_header() {
  // The whole first line must be in the buffer to see what separates.
  while (buffer_.find('\n') == std::string::npos && refill()) continue;
  if (std::string_view(buffer_).starts_with(kByteOrderMark)) at_ = kByteOrderMark.size();
  separator_ = separator_of(std::string_view(buffer_).substr(at_));
  const Result<bool> row = next();
  if (!row) return tl::unexpected(row.error());
  if (!*row) {
    line_ = 1;
    return expected_in_row("a first line with the names of the columns, found an empty file");
  }
  for (const std::string_view field : fields_) {
    if (!is_utf8(field)) return expected(header_.size(), "text in UTF-8");
    // Else the whole file would be one row of names.
    if (field.find('\r') != field.npos)
      return expected(header_.size(),
                      "lines that end with LF or CRLF, found a carriage return alone");
    const std::string_view name = trimmed(field);
    if (!name.empty() && find(name))
      return expected(header_.size(),
                      fmt::format("columns of different names, found {} twice", shown(name)));
    header_.emplace_back(name);
  }
  return {};
}

std::optional<std::size_t> CsvReader::find(std::string_view column) const {
  const auto found = std::find(header_.begin(), header_.end(), column);
  if (found == header_.end()) return std::nullopt;
  return static_cast<std::size_t>(found - header_.begin());
}

Result<std::size_t> CsvReader::require(std::string_view column, std::string_view header) const {
  if (const auto found = find(column)) return *found;
  const auto other_case =
      std::find_if(header_.begin(), header_.end(),
                   [&](const std::string& name) { return lower(name) == column; });
  const std::string hint = other_case == header_.end() ? "" : " (small letters count)";
  return fail(Category::bad_input,
              fmt::format("{}: line 1: no column '{}', expected {}; found {}{}", source_, column,
                          header, shown(fmt::format("{}", fmt::join(header_, ","))), hint));
}

bool CsvReader::blank(std::size_t column) const {
  return trimmed(fields_[column]).empty();
}

Result<std::string_view> CsvReader::name(std::size_t column) const {
  const std::string_view text = trimmed(fields_[column]);
  if (text.empty()) return expected(column, "a name, found nothing");
  if (!is_utf8(text)) return expected(column, "text in UTF-8");
  return text;
}

Result<std::int64_t> CsvReader::count(std::size_t column) const {
  const std::string_view text = trimmed(fields_[column]);
  std::int64_t value = 0;
  const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  // Beyond 2^53 a count is no longer exact in the arithmetic that follows.
  constexpr std::int64_t kMost = std::int64_t{1} << 53;
  const bool whole = error == std::errc() && stop == text.data() + text.size();
  if (whole && value >= 0 && value <= kMost && text.front() != '-') return value;
  return expected(column, "a whole number of 0 or more, found " + shown(text));
}

Result<double> CsvReader::number(std::size_t column) const {
  std::string text(trimmed(fields_[column]));
  // Where semicolons separate, a comma may be the decimal point.
  if (separator_ == ';') std::replace(text.begin(), text.end(), ',', '.');
  double value = 0;
  const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  const bool whole = error == std::errc() && stop == text.data() + text.size();
  if (whole && value >= 0 && std::isfinite(value)) return value;
  return expected(column, "a number of 0 or more, found " + shown(trimmed(fields_[column])));
}

tl::unexpected<Error> CsvReader::expected(std::size_t column, std::string_view what) const {
  const std::string name =
      column < header_.size() ? fmt::format(" ({})", header_[column]) : std::string();
  return fail(Category::bad_input, fmt::format("{}: line {}, column {}{}: expected {}", source_,
                                               line_, column + 1, name, what));
}

tl::unexpected<Error> CsvReader::expected_in_row(std::string_view what) const {
  return fail(Category::bad_input, fmt::format("{}: line {}: expected {}", source_, line_, what));
}

}  // namespace lastlook::text
