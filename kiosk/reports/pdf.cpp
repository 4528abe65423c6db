// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/pdf.h"

#include <cairo-pdf.h>

#include <memory>
#include <string_view>

#include "kiosk/reports/sheet.h"

namespace lastlook::reports {
namespace {

constexpr double side = 15 * mm, above = 14 * mm, below = 12 * mm;
constexpr double over_running_foot = 5 * mm;

struct Size {
  double width, height;
};

Size size_of(Paper paper) {
  return paper == Paper::a4 ? Size{210 * mm, 297 * mm} : Size{8.5 * 72, 11 * 72.0};
}

std::string filled_in(std::string pattern, std::size_t number, std::size_t of) {
  for (const auto& [place, value] : {std::pair{"{0}", number}, {"{1}", of}})
    if (const std::size_t at = pattern.find(place); at != std::string::npos)
      pattern.replace(at, 3, std::to_string(value));
  return pattern;
}

// At the foot of each sheet.
class RunningFoot {
 public:
  RunningFoot(const Document& document, Type& type, double width)
      : type_(type), numbering_(document.numbering), width_(width) {
    const double number = number_on(9999, 9999).width();
    std::string what;
    for (const std::string* part : {&document.kind, &document.title, &document.place})
      if (!part->empty()) what += (what.empty() ? "" : " · ") + *part;
    what_ = type_.set(what, face, width - number - 4 * mm);
    if (!document.made_from.empty()) made_from_ = type_.set(document.made_from, face, width);
  }

  double height() const { return rule_room + what_.height() + made_from_.height(); }

  void draw(cairo_t* cairo, double top, std::size_t nth, std::size_t of) const {
    set_colour(cairo, rule_colour);
    cairo_rectangle(cairo, 0, top, width_, 0.4);
    cairo_fill(cairo);
    what_.draw_all(cairo, 0, top + rule_room);
    made_from_.draw_all(cairo, 0, top + rule_room + what_.height());
    const Lines number = number_on(nth, of);
    number.draw(cairo, 0, width_ - number.width(), top + rule_room);
  }

 private:
  static constexpr Face face{7.5, 400, quiet_colour, true};
  static constexpr double rule_room = 4;

  Lines number_on(std::size_t nth, std::size_t of) const {
    return type_.set(filled_in(numbering_, nth, of), face);
  }

  Type& type_;
  std::string numbering_;
  double width_;
  Lines what_, made_from_;
};

cairo_status_t append(void* bytes, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

void describe(cairo_surface_t* pdf, const Document& document) {
  const std::string title =
      document.kind.empty() ? document.title : document.kind + " – " + document.title;
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_TITLE, one_paragraph(title).c_str());
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATOR, "Lastlook");
  // Never the clock's: the library would put that in by itself.
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATE_DATE, document.made_at.c_str());
}

}  // namespace

Result<Pdf> to_pdf(const Document& document, Paper paper) {
  const Size size = size_of(paper);
  Type type(document.language);
  const double width = size.width - 2 * side;
  const RunningFoot running(document, type, width);
  const double height = size.height - above - below - running.height() - over_running_foot;
  const std::vector<Piece> pieces = pieces_of(document, type, {width, height});
  const std::vector<Page> pages = paged(pieces, height);

  Pdf pdf;
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_pdf_surface_create_for_stream(&append, &pdf.bytes, size.width, size.height),
      &cairo_surface_destroy);
  describe(surface.get(), document);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()),
                                                                 &cairo_destroy);
  cairo_translate(cairo.get(), side, above);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    for (const Placed& placed : pages[i]) placed.piece->draw(cairo.get(), placed.top);
    running.draw(cairo.get(), height + over_running_foot, i + 1, pages.size());
    cairo_show_page(cairo.get());
  }
  cairo_surface_finish(surface.get());
  cairo_status_t status = cairo_status(cairo.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS)
    return fail(Category::io,
                std::string("the PDF cannot be made: ") + cairo_status_to_string(status));
  pdf.missing = type.missing();
  return pdf;
}

}  // namespace lastlook::reports
