// SPDX-License-Identifier: Apache-2.0
// Pieces of a page. Whatever a person or a tag wrote goes through escaped().
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lastlook::reports {

// Text as text: nothing in it is markup any more. Control characters other than tab and line feed
// are left out.
std::string escaped(std::string_view text);

// A page of its own: style within, nothing fetched from anywhere. body is markup, title is text.
std::string page(std::string_view title, std::string_view language, std::string_view body);

// <table> with a heading row; cells are text. align: a letter a column, 'l' for words, 'r' for
// numbers, set flush right.
std::string table(const std::vector<std::string>& heading,
                  const std::vector<std::vector<std::string>>& rows, std::string_view align);

}  // namespace lastlook::reports
