// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/html.h"

#include <fmt/format.h>

namespace lastlook::reports {
namespace {

constexpr std::string_view style = R"css(
:root { color: #16202a; background: #fff;
  font: 10.5pt/1.4 Inter, "Noto Sans", "Liberation Sans", Arial, sans-serif; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 8mm 6mm; max-width: 186mm; }
header { border-bottom: 1.2mm solid #16202a; padding-bottom: 3mm; }
header p { margin: 0; color: #46515c; }
h1 { font-size: 21pt; line-height: 1.15; margin: 0 0 1mm; letter-spacing: -0.01em; }
.figures { display: grid; grid-template-columns: repeat(4, 1fr); gap: 4mm; margin: 5mm 0 1mm; }
.figures div { border-left: 0.8mm solid #0b4f8a; padding: 0.2mm 0 0.2mm 3mm; }
.figures .alert { border-color: #b84a00; }
.figures b { display: block; font-size: 19pt; line-height: 1.15; font-variant-numeric: tabular-nums; }
.figures span { display: block; color: #46515c; font-size: 9pt; line-height: 1.3; }
section { margin-top: 6mm; }
h2 { font-size: 13pt; margin: 0 0 1mm; break-after: avoid; }
h2 i { display: inline-block; font-style: normal; width: 7mm; color: #0b4f8a; }
.answer { margin: 0 0 2.5mm 7mm; font-weight: 600; }
.answer.alert { color: #8a3800; }
.answer.alert::before { content: "▲ "; }
.more { margin: 0 0 2mm 7mm; color: #46515c; font-size: 9.5pt; }
table + .more { margin-top: 1.5mm; }
figure { margin: 0 0 0 4mm; break-inside: avoid; }
figure svg { display: block; width: 100%; height: auto; }
table { border-collapse: collapse; margin: 0 0 0 7mm; width: calc(100% - 7mm);
  font-size: 9.5pt; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: 600; border-bottom: 0.4mm solid #16202a; vertical-align: bottom; }
td, th { padding: 0.7mm 3mm 0.7mm 0; }
td { border-bottom: 0.15mm solid #c6ced5; vertical-align: top; overflow-wrap: anywhere; }
td:first-child { white-space: nowrap; }
.n { text-align: right; }
td.n { white-space: nowrap; }
td.n:last-child, th.n:last-child { padding-right: 0; }
tr { break-inside: avoid; }
ul { margin: 0 0 0 7mm; padding-left: 4.5mm; }
li { margin: 0.6mm 0; overflow-wrap: anywhere; }
footer { margin-top: 5mm; border-top: 0.3mm solid #16202a; padding-top: 2mm; color: #46515c;
  font-size: 8pt; overflow-wrap: anywhere; break-inside: avoid; }
footer p { margin: 0 0 0.5mm; }
@page { size: A4 portrait; margin: 12mm 12mm 10mm; }
@media print {
  body { padding: 0; max-width: none; }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
)css";

bool allowed(char c) {
  return static_cast<unsigned char>(c) >= 0x20 || c == '\t' || c == '\n';
}

std::string cell(std::string_view tag, std::string_view text, bool numeric) {
  return fmt::format("<{}{}>{}</{}>", tag, numeric ? " class=\"n\"" : "", escaped(text), tag);
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '"')
      out += "&quot;";
    else if (c == '\'')
      out += "&#39;";
    else if (allowed(c))
      out += c;
  }
  return out;
}

std::string page(std::string_view title, std::string_view language, std::string_view body) {
  return fmt::format(
      "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n{}</body>\n</html>\n",
      escaped(language), escaped(title), style, body);
}

std::string table(const std::vector<std::string>& heading,
                  const std::vector<std::vector<std::string>>& rows, std::string_view align) {
  const auto is_number = [&](std::size_t i) { return i < align.size() && align[i] == 'r'; };
  std::string out = "<table>\n<thead><tr>";
  for (std::size_t i = 0; i < heading.size(); ++i) out += cell("th", heading[i], is_number(i));
  out += "</tr></thead>\n<tbody>\n";
  for (const auto& row : rows) {
    out += "<tr>";
    for (std::size_t i = 0; i < row.size(); ++i) out += cell("td", row[i], is_number(i));
    out += "</tr>\n";
  }
  return out + "</tbody>\n</table>\n";
}

}  // namespace lastlook::reports
