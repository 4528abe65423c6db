// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/type.h"

#include <pango/pangocairo.h>

#include <algorithm>

namespace lastlook::reports {
namespace {

struct Unref {
  void operator()(gpointer object) const { g_object_unref(object); }
};
struct Free {
  void operator()(gpointer memory) const { g_free(memory); }
};

// Where the digits of a line stand in its leading: capitals are in the middle.
constexpr double half_a_capital = 0.36;

bool is_blank(char c) {
  return static_cast<unsigned char>(c) <= 0x20 || c == 0x7F;
}

// No line begins with the sign of percent.
void keep_percents_together(PangoAttrList* attributes, std::string_view text) {
  for (std::size_t at = text.find(" %"); at != text.npos; at = text.find(" %", at + 1)) {
    PangoAttribute* together = pango_attr_allow_breaks_new(FALSE);
    together->start_index = static_cast<guint>(at);
    together->end_index = static_cast<guint>(at + 2);
    pango_attr_list_insert(attributes, together);
  }
}

}  // namespace

std::string one_paragraph(std::string text) {
  std::erase(text, '\0');
  const std::unique_ptr<char, Free> valid(
      g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())));
  std::string out;
  bool between = false;
  for (const char* at = valid.get(); *at != '\0'; at = g_utf8_next_char(at)) {
    const gunichar letter = g_utf8_get_char(at);
    const bool breaks = letter == 0x85 || letter == 0x2028 || letter == 0x2029;
    if (is_blank(*at) || breaks) {
      between |= *at == ' ' || *at == '\t' || *at == '\n' || breaks;
      continue;
    }
    if (between && !out.empty()) out += ' ';
    between = false;
    out.append(at, static_cast<const char*>(g_utf8_next_char(at)));
  }
  return out;
}

void set_colour(cairo_t* cairo, std::uint32_t colour) {
  cairo_set_source_rgb(cairo, (colour >> 16U & 0xFFU) / 255.0, (colour >> 8U & 0xFFU) / 255.0,
                       (colour & 0xFFU) / 255.0);
}

Lines::Lines(std::shared_ptr<PangoLayout> layout, Face face)
    : layout_(std::move(layout)), face_(face) {}

std::size_t Lines::size() const {
  return layout_ ? static_cast<std::size_t>(pango_layout_get_line_count(layout_.get())) : 0;
}

double Lines::width(std::size_t line) const {
  PangoRectangle logical;
  pango_layout_line_get_extents(
      pango_layout_get_line_readonly(layout_.get(), static_cast<int>(line)), nullptr, &logical);
  return pango_units_to_double(logical.width);
}

double Lines::width() const {
  double widest = 0;
  for (std::size_t i = 0; i < size(); ++i) widest = std::max(widest, width(i));
  return widest;
}

void Lines::draw(cairo_t* cairo, std::size_t line, double left, double top) const {
  draw_on(cairo, line, left, top + face_.leading() / 2 + half_a_capital * face_.size);
}

void Lines::draw_on(cairo_t* cairo, std::size_t line, double left, double baseline) const {
  set_colour(cairo, face_.colour);
  cairo_move_to(cairo, left, baseline);
  pango_cairo_show_layout_line(
      cairo, pango_layout_get_line_readonly(layout_.get(), static_cast<int>(line)));
  cairo_new_path(cairo);  // else the next line that is drawn begins here
}

void Lines::draw_all(cairo_t* cairo, double left, double top) const {
  for (std::size_t i = 0; i < size(); ++i)
    draw(cairo, i, left, top + static_cast<double>(i) * face_.leading());
}

Type::Type(const std::string& language) {
  const std::unique_ptr<PangoFontMap, Unref> fonts(
      pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT));
  pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(fonts.get()), 72);
  context_ = {pango_font_map_create_context(fonts.get()), Unref()};
  const std::unique_ptr<cairo_font_options_t, decltype(&cairo_font_options_destroy)> options(
      cairo_font_options_create(), &cairo_font_options_destroy);
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context_.get(), options.get());
  pango_context_set_round_glyph_positions(context_.get(), FALSE);
  // As the document says, not as the machine is set up.
  pango_context_set_language(context_.get(), pango_language_from_string(language.c_str()));
  pango_context_set_base_dir(context_.get(), PANGO_DIRECTION_LTR);
}

Lines Type::set(std::string_view text, const Face& face) {
  return set(text, face, -1);
}

Lines Type::set(std::string_view text, const Face& face, double room) {
  const std::shared_ptr<PangoLayout> layout(pango_layout_new(context_.get()), Unref());
  const std::unique_ptr<PangoFontDescription, decltype(&pango_font_description_free)> font(
      pango_font_description_new(), &pango_font_description_free);
  pango_font_description_set_family_static(font.get(), "Inter,Noto Sans,DejaVu Sans,sans-serif");
  pango_font_description_set_weight(font.get(), static_cast<PangoWeight>(face.weight));
  pango_font_description_set_size(font.get(), pango_units_from_double(face.size));
  pango_layout_set_font_description(layout.get(), font.get());
  const std::unique_ptr<PangoAttrList, decltype(&pango_attr_list_unref)> attributes(
      pango_attr_list_new(), &pango_attr_list_unref);
  // Serials are printed as they are: no hyphen where one is broken, no × for the x in 10x20.
  pango_attr_list_insert(attributes.get(), pango_attr_insert_hyphens_new(FALSE));
  pango_attr_list_insert(attributes.get(),
                         pango_attr_font_features_new(face.figures ? "calt=0,tnum=1" : "calt=0"));
  pango_layout_set_auto_dir(layout.get(), FALSE);
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  if (room >= 0) pango_layout_set_width(layout.get(), pango_units_from_double(room));
  const std::string paragraph = one_paragraph(std::string(text));
  keep_percents_together(attributes.get(), paragraph);
  pango_layout_set_attributes(layout.get(), attributes.get());
  pango_layout_set_text(layout.get(), paragraph.data(), static_cast<int>(paragraph.size()));
  if (pango_layout_get_unknown_glyphs_count(layout.get()) > 0) note_missing(layout.get());
  return {layout, face};
}

double Type::widest_word(std::string_view text, const Face& face) {
  double widest = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    if (end > 0) widest = std::max(widest, set(text.substr(0, end), face).width());
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return widest;
}

void Type::note_missing(PangoLayout* layout) {
  const std::unique_ptr<PangoLayoutIter, decltype(&pango_layout_iter_free)> at(
      pango_layout_get_iter(layout), &pango_layout_iter_free);
  do {
    const PangoLayoutRun* run = pango_layout_iter_get_run_readonly(at.get());
    for (int i = 0; run && i < run->glyphs->num_glyphs; ++i) {
      const PangoGlyph glyph = run->glyphs->glyphs[i].glyph;
      if ((glyph & PANGO_GLYPH_UNKNOWN_FLAG) == 0) continue;
      char letter[6];
      const int bytes = g_unichar_to_utf8(glyph & ~PANGO_GLYPH_UNKNOWN_FLAG, letter);
      const std::string_view added(letter, static_cast<std::size_t>(bytes));
      if (missing_.find(added) == std::string::npos) missing_ += added;
    }
  } while (pango_layout_iter_next_run(at.get()));
}

}  // namespace lastlook::reports
