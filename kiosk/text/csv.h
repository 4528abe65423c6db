// SPDX-License-Identifier: Apache-2.0
// Reads comma-separated values row by row, however large the file: RFC 4180, in UTF-8 with or
// without a byte order mark, lines ended by LF or CRLF, separated by comma or semicolon as the
// first line shows. Blank lines are skipped. Columns are found by the names in the first line.
//
// Every error is Category::bad_input and names file, line, column and what was expected; a file
// that is not there is not_found, a disk that fails is io.
#pragma once

#include <cstdint>
#include <fstream>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/result.h"

namespace lastlook::text {

class CsvReader {
 public:
  // Reads the first line. `path` may be any file that can be read, /dev/stdin too.
  static Result<CsvReader> open(const std::string& path);
  // The same from memory, with a name for messages.
  static Result<CsvReader> from_text(std::string name, std::string text);

  // The column's place, from 0, or what `header` the file should have had.
  Result<std::size_t> require(std::string_view column, std::string_view header) const;
  std::optional<std::size_t> find(std::string_view column) const;

  // Moves to the next row; false at the end.
  Result<bool> next();

  // Of the current row. Views live until next().
  std::string_view field(std::size_t column) const { return fields_[column]; }
  bool blank(std::size_t column) const;
  Result<std::string_view> name(std::size_t column) const;  // not empty, valid UTF-8, trimmed
  Result<std::int64_t> count(std::size_t column) const;     // a whole number, 0 or more
  Result<double> number(std::size_t column) const;          // 0 or more, finite

  // An error at a column of the current row: "parts.csv: line 3, column 2 (count): expected …".
  tl::unexpected<Error> expected(std::size_t column, std::string_view what) const;
  // An error at the current row as a whole.
  tl::unexpected<Error> expected_in_row(std::string_view what) const;

  std::int64_t line() const { return line_; }  // where the current row begins, from 1
  const std::string& source() const { return source_; }
  double progress() const;  // share of the file that was read, 0 to 1

 private:
  enum class Parsed { row, blank, more, end, bad_quote, open_quote };

  Status read_header();
  Parsed parse();
  Parsed take_quoted(std::size_t& at, std::int64_t& lines);
  Parsed take_plain(std::size_t& at);
  bool refill();

  std::string source_;
  std::unique_ptr<std::ifstream> file_;  // none when reading from memory
  std::string buffer_;
  std::size_t at_ = 0;   // next byte to read
  bool ended_ = false;   // nothing more will come into the buffer
  bool failed_ = false;  // the disk did not deliver
  double size_ = 0;      // bytes of the file, 0 where not known
  double taken_ = 0;     // bytes read into the buffer so far
  char separator_ = ',';
  std::int64_t line_ = 0;       // of the current row
  std::int64_t next_line_ = 1;  // of the next
  std::vector<std::string> header_;
  std::vector<std::string_view> fields_;
  std::string unquoted_;  // fields whose doubled quotes were halved
};

bool is_utf8(std::string_view text);

// A field for writing: quoted where it must be.
std::string csv_field(std::string_view text);

}  // namespace lastlook::text
