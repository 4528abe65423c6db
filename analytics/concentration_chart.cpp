// SPDX-License-Identifier: Apache-2.0
#include "analytics/concentration_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace lastlook::analytics {
namespace {

class ConcentrationLayout {
 public:
  ConcentrationLayout(const std::vector<PlacedFinding>& findings,
                      const ConcentrationOptions& options, const TextMeasure& measure)
      : page_(options.frame, measure),
        options_(options),
        gatherings_(gather(findings, kFingertip, options.picture_height / options.picture_width)) {
    for (const Gathering& g : gatherings_) total_ += g.count;
  }

  Chart lay_out() {
    const double top = page_.write_title(options_.frame.title);
    const double bottom =
        page_.height() - page_.margin() - 0.7 * page_.small() - page_.footer_height(footer());
    place_picture(top, bottom);
    for (const auto& [from, to] : {std::pair{Point{0, 0}, Point{1, 0}},
                                   {{1, 0}, {1, 1}},
                                   {{1, 1}, {0, 1}},
                                   {{0, 1}, {0, 0}}}) {
      page_.add(Line{Role::axis, on_picture(from), on_picture(to), 1, false});
    }
    for (const Gathering& g : gatherings_) draw(g);
    for (const Gathering& g : gatherings_) write_count(g);
    write_list(top, bottom);
    page_.write_footer(footer());
    Chart chart = page_.finish(footer());
    if (!options_.picture.empty()) chart.picture = Picture{picture_, options_.picture};
    return chart;
  }

 private:
  // Beside the list where that leaves the picture larger, else above it.
  void place_picture(double top, double bottom) {
    const double usable = page_.width() - 2 * page_.margin();
    const double room = bottom - top;
    const double aspect = options_.picture_height / options_.picture_width;
    const double beside = std::min(0.66 * usable, room / aspect);
    const double above = std::min(usable, 0.66 * room / aspect);
    list_beside_ = beside >= above;
    const double width = std::max(1.0, list_beside_ ? beside : above);
    picture_ = {page_.margin(), top, width, width * aspect};
  }

  Point on_picture(Point fraction) const {
    return {picture_.x + picture_.width * fraction.x, picture_.y + picture_.height * fraction.y};
  }

  double size_of(const Gathering& g) const {
    const auto most = static_cast<double>(gatherings_.front().count);
    const double share = std::sqrt(static_cast<double>(g.count) / most);
    return std::max(5.0, 2 * kFingertip * picture_.width * share);
  }

  void draw(const Gathering& g) {
    const Point at = on_picture({g.x, g.y});
    page_.add(Symbol{g.severe ? Role::signal : Role::few, g.severe ? Glyph::diamond : Glyph::dot,
                     at, size_of(g)});
    const double half = size_of(g) / 2;
    page_.keep_free({at.x - half, at.y - half, 2 * half, 2 * half});
  }

  // Where no other symbol and no other number lies.
  void write_count(const Gathering& g) {
    const Point at = on_picture({g.x, g.y});
    const double size = page_.small();
    page_.try_write({Role::value,
                     {at.x + size_of(g) / 2 + 0.4 * size, at.y + 0.33 * size},
                     Anchor::start,
                     size,
                     true,
                     std::to_string(g.count)});
  }

  void write_list(double top, double bottom) {
    const double size = page_.text_size();
    const double x = list_beside_ ? picture_.x + picture_.width + 1.5 * size : page_.margin();
    double y = (list_beside_ ? top : picture_.y + picture_.height + 0.5 * size) + size;
    const double room = page_.width() - page_.margin() - x;
    for (const Gathering& g : gatherings_) {
      if (y > bottom) return;
      page_.try_write({Role::label,
                       {x, y},
                       Anchor::start,
                       size,
                       false,
                       page_.fit(fmt::format("{}  {}", g.count, g.kind), room, size)});
      y += 1.5 * size;
    }
  }

  std::string footer() const {
    if (gatherings_.empty()) return "no finding with a place";
    return fmt::format(
        "findings: {}, places: {}; diamonds: the severe ones. Where to look, not a "
        "proof",
        total_, gatherings_.size());
  }

  Page page_;
  const ConcentrationOptions& options_;
  std::vector<Gathering> gatherings_;
  std::int64_t total_ = 0;
  Box picture_;
  bool list_beside_ = true;
};

}  // namespace

std::vector<Gathering> gather(std::vector<PlacedFinding> findings, double reach, double aspect) {
  std::erase_if(findings, [](const PlacedFinding& f) { return f.count <= 0; });
  std::stable_sort(findings.begin(), findings.end(),
                   [](const auto& a, const auto& b) { return a.count > b.count; });
  std::vector<Gathering> out;
  std::vector<std::map<std::string, std::int64_t>> kinds;
  for (PlacedFinding& f : findings) {
    f.x = std::clamp(f.x, 0.0, 1.0);
    f.y = std::clamp(f.y, 0.0, 1.0);
    const auto near = std::find_if(out.begin(), out.end(), [&](const Gathering& g) {
      return std::hypot(g.x - f.x, aspect * (g.y - f.y)) <= reach;
    });
    const auto place = static_cast<std::size_t>(near - out.begin());
    if (near == out.end()) {
      out.emplace_back();
      kinds.emplace_back();
    }
    Gathering& g = out[place];
    const double weight = static_cast<double>(f.count) / static_cast<double>(g.count + f.count);
    g.x += weight * (f.x - g.x);
    g.y += weight * (f.y - g.y);
    g.count += f.count;
    g.severe = g.severe || f.severe;
    kinds[place][f.kind] += f.count;
  }
  for (std::size_t i = 0; i < out.size(); ++i) {
    const auto most =
        std::max_element(kinds[i].begin(), kinds[i].end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; });
    out[i].kind = most->first;
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Gathering& a, const Gathering& b) { return a.count > b.count; });
  return out;
}

Chart concentration_chart(const std::vector<PlacedFinding>& findings,
                          const ConcentrationOptions& options, const TextMeasure& measure) {
  return ConcentrationLayout(findings, options, measure).lay_out();
}

}  // namespace lastlook::analytics
