// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/pages.h"

namespace lastlook::reports {
namespace {

class Paging {
 public:
  explicit Paging(double height) : height_(height) {}

  // Pieces that keep together; broken only where they are longer than a page.
  void place(std::span<const Piece> chain) {
    double together = 0;
    for (const Piece& piece : chain) together += piece.gap + piece.height;
    if (!pages_.back().empty() && together > room()) pages_.emplace_back();
    for (const Piece& piece : chain) place(piece);
  }

  std::vector<Page> take() { return std::move(pages_); }

 private:
  double used() const {
    const Page& page = pages_.back();
    return page.empty() ? 0 : page.back().top + page.back().piece->height;
  }
  // Sums of heights differ in the last digit by the order of adding.
  double room() const { return height_ - used() + 1e-6; }

  void place(const Piece& piece) {
    if (!pages_.back().empty() && piece.gap + piece.height > room()) pages_.emplace_back();
    const bool first = pages_.back().empty();
    if (first && piece.heading) pages_.back().push_back({piece.heading.get(), 0});
    pages_.back().push_back({&piece, used() + (first ? 0 : piece.gap)});
  }

  double height_;
  std::vector<Page> pages_{1};
};

}  // namespace

void keep_ends_together(std::span<Piece> pieces) {
  if (pieces.size() < 2) return;
  pieces.front().keeps_next = true;
  pieces[pieces.size() - 2].keeps_next = true;
}

std::vector<Page> paged(const std::vector<Piece>& pieces, double height) {
  Paging paging(height);
  const std::span<const Piece> all(pieces);
  for (std::size_t begin = 0; begin < all.size();) {
    std::size_t end = begin + 1;
    while (end < all.size() && all[end - 1].keeps_next) ++end;
    paging.place(all.subspan(begin, end - begin));
    begin = end;
  }
  return paging.take();
}

}  // namespace lastlook::reports
