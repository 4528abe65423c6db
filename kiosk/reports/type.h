// SPDX-License-Identifier: Apache-2.0
// Lines of type, set by Pango in Inter or, letter by letter, in whatever font of the machine has
// what Inter lacks. Lengths are points. Nothing is rounded to a device's pixels, so that sheets are
// the same wherever the fonts are.
#pragma once

#include <pango/pango.h>

#include <cairo.h>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace lastlook::reports {

struct Face {
  double size = 9.5;
  int weight = 400;
  std::uint32_t colour = 0x16202a;  // 0xRRGGBB
  bool figures = false;             // digits all of one width, so that columns of them line up
  double leading() const { return 1.4 * size; }
};

inline constexpr std::uint32_t ink_colour = 0x16202a, quiet_colour = 0x46515c,
                               accent_colour = 0x0b4f8a, alert_colour = 0xb84a00,
                               alert_text_colour = 0x8a3800, rule_colour = 0xc6ced5;
void set_colour(cairo_t* cairo, std::uint32_t colour);

// Valid UTF-8 in one paragraph: runs of blanks and line feeds are one blank, as in a browser, and
// other control characters are left out.
std::string one_paragraph(std::string text);

// A text broken into lines.
class Lines {
 public:
  Lines() = default;
  Lines(std::shared_ptr<PangoLayout> layout, Face face);
  std::size_t size() const;
  double height() const { return static_cast<double>(size()) * face_.leading(); }
  double width(std::size_t line) const;
  double width() const;  // of the widest
  const Face& face() const { return face_; }
  // The line between `top` and `top` + leading, whatever letters are in it.
  void draw(cairo_t* cairo, std::size_t line, double left, double top) const;
  void draw_on(cairo_t* cairo, std::size_t line, double left, double baseline) const;
  void draw_all(cairo_t* cairo, double left, double top) const;

 private:
  std::shared_ptr<PangoLayout> layout_;
  Face face_;
};

class Type {
 public:
  explicit Type(const std::string& language);
  // One paragraph, broken between words, and within a word that is wider than the room.
  Lines set(std::string_view text, const Face& face, double room);
  Lines set(std::string_view text, const Face& face);  // one line
  double widest_word(std::string_view text, const Face& face);
  // Letters that no font of this machine has; they are printed as boxes with their number.
  const std::string& missing() const { return missing_; }

 private:
  void note_missing(PangoLayout* layout);

  std::shared_ptr<PangoContext> context_;
  std::string missing_;
};

}  // namespace lastlook::reports
