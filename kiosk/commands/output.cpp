// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/output.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <fstream>

namespace lastlook::commands {
namespace {

// Characters, not bytes. Wide ones are rare in names of defects and only bend the column.
std::size_t width(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

}  // namespace

tl::unexpected<Error> in_file(const std::string& file, Error error) {
  error.message = file + ": " + error.message;
  return tl::unexpected(std::move(error));
}

Status write_text_file(const std::string& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out << text;
  out.close();
  if (!out)
    return fail(Category::bad_input,
                path + ": cannot be written, expected a file in a folder that is there");
  return {};
}

void Notes::limits(Json& out, const std::string& prefix, const Result<analytics::Interval>& limits,
                   const std::string& of, double scale) {
  const auto end = [&](const char* name, double analytics::Interval::*side) {
    out[prefix + name] = value(limits, of, prefix + name,
                               [&](const auto& both) { return Json(scale * both.*side); });
  };
  end("low", &analytics::Interval::low);
  end("high", &analytics::Interval::high);
}

void Notes::undefined(const std::string& of, const std::string& name, const std::string& reason) {
  // Those of one thing follow each other.
  for (auto note = list_.rbegin(); note != list_.rend() && note->of == of; ++note) {
    if (note->reason != reason) continue;
    note->names.push_back(name);
    return;
  }
  list_.push_back({of, {name}, reason});
}

std::vector<std::string> Notes::list() const {
  std::vector<std::string> lines;
  for (const auto& [of, names, reason] : list_) {
    std::string line = of.empty() ? "" : of + " ";
    line += fmt::format("{}", fmt::join(names, ", "));
    lines.push_back(reason.empty() ? line : line + ": " + reason);
  }
  return lines;
}

std::string TextTable::text() const {
  std::vector<std::size_t> widths(align_.size());
  for (const auto& row : rows_) {
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width(row[i]));
  }
  std::string out;
  for (const auto& row : rows_) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const std::string padding(widths[i] - width(row[i]), ' ');
      line += i == 0 ? "" : "  ";
      line += align_[i] == 'r' ? padding + row[i] : row[i] + padding;
    }
    while (!line.empty() && line.back() == ' ') line.pop_back();
    out += line + '\n';
  }
  return out;
}

}  // namespace lastlook::commands
