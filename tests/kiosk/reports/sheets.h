// SPDX-License-Identifier: Apache-2.0
// What is in a PDF, as other programs read it (poppler-utils): never our own word for it.
#pragma once

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace lastlook::reports::testing {

// A picture of a sheet, in grey.
struct GreySheet {
  int width = 0, height = 0;
  std::string pixels;  // a byte each, 255 is white
  // The least border in pixels: left, top, right, bottom.
  std::array<int, 4> border() const {
    std::array<int, 4> free{width, height, width, height};
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) {
        if (static_cast<unsigned char>(pixels[static_cast<std::size_t>(y * width + x)]) > 250)
          continue;
        const std::array<int, 4> here{x, y, width - 1 - x, height - 1 - y};
        for (std::size_t i = 0; i < 4; ++i) free[i] = std::min(free[i], here[i]);
      }
    return free;
  }
};

inline std::string said_by(const std::string& command) {
  std::string said;
  std::FILE* pipe = popen(command.c_str(), "r");
  std::array<char, 4096> some{};
  for (std::size_t n; (n = std::fread(some.data(), 1, some.size(), pipe)) > 0;)
    said.append(some.data(), n);
  EXPECT_EQ(pclose(pipe), 0) << command;
  return said;
}

class Sheets {
 public:
  explicit Sheets(std::filesystem::path pdf) : pdf_(std::move(pdf)) {}

  // "Pages" is "3", "Page size" is "595.276 x 841.89 pts (A4)".
  std::map<std::string, std::string> info() const {
    std::map<std::string, std::string> all;
    std::istringstream lines(read_by("pdfinfo"));
    for (std::string line; std::getline(lines, line);) {
      const std::size_t colon = line.find(':');
      if (colon == std::string::npos) continue;
      const std::size_t value = line.find_first_not_of(' ', colon + 1);
      all[line.substr(0, colon)] = value == std::string::npos ? "" : line.substr(value);
    }
    return all;
  }
  int pages() const { return std::stoi(info().at("Pages")); }

  // As laid out, from the top; page 0: of all of them.
  std::string text(int page = 0) const { return read_by("pdftotext -layout" + of(page), " -"); }

  // Where each word is, in points; of a word that is there twice, the last.
  struct Word {
    double left, right;
  };
  std::map<std::string, Word> words() const {
    std::map<std::string, Word> all;
    std::istringstream lines(read_by("pdftotext -bbox", " -"));
    for (std::string line; std::getline(lines, line);) {
      const auto after = [&](const char* what) {
        return std::stod(line.substr(line.find(what) + std::string(what).size()));
      };
      const std::size_t end = line.find("</word>");
      if (end == std::string::npos) continue;
      const std::size_t begin = line.find('>') + 1;
      all[line.substr(begin, end - begin)] = {after("xMin=\""), after("xMax=\"")};
    }
    return all;
  }

  struct Font {
    std::string name;
    bool is_embedded;
  };
  std::vector<Font> fonts() const {
    std::vector<Font> all;
    std::istringstream lines(read_by("pdffonts"));
    std::string line;
    std::getline(lines, line);
    const std::size_t column = line.find("emb");
    std::getline(lines, line);
    while (std::getline(lines, line))
      all.push_back({line.substr(0, line.find(' ')), line.substr(column, 3) == "yes"});
    return all;
  }

  GreySheet drawn(int page, int dots_per_inch = 72) const {
    std::istringstream pgm(
        read_by("pdftoppm -gray -r " + std::to_string(dots_per_inch) + of(page)));
    std::string kind, most;
    GreySheet sheet;
    pgm >> kind >> sheet.width >> sheet.height >> most;
    pgm.get();
    sheet.pixels.assign(std::istreambuf_iterator<char>(pgm), {});
    EXPECT_EQ(kind, "P5");
    EXPECT_EQ(sheet.pixels.size(), static_cast<std::size_t>(sheet.width * sheet.height));
    return sheet;
  }

 private:
  static std::string of(int page) {
    const std::string n = std::to_string(page);
    return page == 0 ? "" : " -f " + n + " -l " + n;
  }

  std::string read_by(const std::string& program, const std::string& after = "") const {
    return said_by(program + " '" + pdf_.string() + "'" + after);
  }

  std::filesystem::path pdf_;
};

inline int times(const std::string& text, const std::string& what) {
  int n = 0;
  for (std::size_t at = text.find(what); at != text.npos; at = text.find(what, at + what.size()))
    ++n;
  return n;
}

}  // namespace lastlook::reports::testing
