// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/html.h"

#include <fmt/format.h>

#include <iterator>

#include "analytics/svg.h"

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

std::string markup(const Table& table) {
  const auto is_number = [&](std::size_t i) {
    return i < table.align.size() && table.align[i] == 'r';
  };
  std::string out = "<table>\n<thead><tr>";
  for (std::size_t i = 0; i < table.heading.size(); ++i)
    out += cell("th", table.heading[i], is_number(i));
  out += "</tr></thead>\n<tbody>\n";
  for (const auto& row : table.rows) {
    out += "<tr>";
    for (std::size_t i = 0; i < row.size(); ++i) out += cell("td", row[i], is_number(i));
    out += "</tr>\n";
  }
  return out + "</tbody>\n</table>\n";
}

// A heading begins a section; a table or a chart that no heading stands above is one by itself.
class Body {
 public:
  std::string take(const std::vector<Block>& blocks) {
    for (const Block& block : blocks) std::visit(*this, block);
    if (in_section_) out_ += "</section>\n";
    return std::move(out_);
  }

  void operator()(const Heading& heading) {
    if (in_section_) out_ += "</section>\n";
    in_section_ = true;
    add("<section>\n<h2><i>{}</i>{}</h2>\n", heading.nth, escaped(heading.text));
  }

  void operator()(const Paragraph& paragraph) {
    const std::string_view tone = paragraph.tone == Tone::more     ? "more"
                                  : paragraph.tone == Tone::answer ? "answer"
                                                                   : "answer alert";
    add("<p class=\"{}\">{}</p>\n", tone, escaped(paragraph.text));
  }

  void operator()(const Figures& figures) {
    out_ += "<div class=\"figures\">\n";
    for (const Figure& one : figures)
      add("<div{}><b>{}</b><span>{}</span><span>{}</span></div>\n",
          one.alert ? " class=\"alert\"" : "", escaped(one.value), escaped(one.what),
          escaped(one.more));
    out_ += "</div>\n";
  }

  void operator()(const Table& table) { section(markup(table)); }

  void operator()(const List& list) {
    out_ += "<ul>\n";
    for (const std::string& item : list.items) add("<li>{}</li>\n", escaped(item));
    out_ += "</ul>\n";
  }

  void operator()(const analytics::Chart& chart) {
    section(fmt::format("<figure>{}</figure>\n", analytics::to_svg(chart)));
  }

 private:
  template <class... Parts>
  void add(fmt::format_string<Parts...> format, Parts&&... parts) {
    fmt::format_to(std::back_inserter(out_), format, std::forward<Parts>(parts)...);
  }

  void section(const std::string& markup) {
    out_ += in_section_ ? markup : "<section>" + markup + "</section>\n";
  }

  std::string out_;
  bool in_section_ = false;
};

std::string head_of(const Document& document) {
  const auto line = [](const std::string& text) {
    return text.empty() ? "" : fmt::format("<p>{}</p>\n", escaped(text));
  };
  return fmt::format("<header>\n{}<h1>{}</h1>\n{}</header>\n", line(document.kind),
                     escaped(document.title), line(document.place));
}

std::string foot_of(const Document& document) {
  if (document.foot.empty()) return "";
  std::string out = "<footer>\n";
  for (const std::string& line : document.foot) out += fmt::format("<p>{}</p>\n", escaped(line));
  return out + "</footer>\n";
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

std::string to_html(const Document& document) {
  const std::string title =
      document.kind.empty() ? document.title : document.kind + " – " + document.title;
  return fmt::format(
      "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n{}{}{}</body>\n</html>\n",
      escaped(document.language), escaped(title), style, head_of(document),
      Body().take(document.blocks), foot_of(document));
}

}  // namespace lastlook::reports
