// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/pager.h"

namespace lastlook::screens {

void Pager::draw(Canvas& canvas, const text::Strings& say, std::string_view key, const Rect& area,
                 std::size_t count, int columns, float least_h_px, float most_h_px,
                 const std::function<void(std::size_t, const Rect&)>& tile) {
  const float gap = canvas.size.gap_px;
  const auto across = static_cast<std::size_t>(columns);
  const auto fit = static_cast<std::size_t>(std::max(1.0F, (area.h + gap) / (least_h_px + gap)));
  const std::size_t needed = (count + across - 1) / across;
  // A page holds a tile and the way on at the least.
  const std::size_t least = across == 1 && count > 1 ? 2 : 1;
  const std::size_t rows = std::max(least, std::min(fit, needed));
  const bool pages = count > rows * across;
  const std::size_t a_page = pages ? rows * across - 1 : rows * across;
  if (first_ >= count) first_ = 0;
  Rect used = area;
  used.h = std::min(area.h, static_cast<float>(rows) * (most_h_px + gap) - gap);
  const auto grid = cells(used, columns, static_cast<int>(rows), gap);
  for (std::size_t i = 0; i < a_page && first_ + i < count; ++i) tile(first_ + i, grid[i]);
  if (!pages) return;
  const std::size_t page = first_ / a_page + 1, of = (count + a_page - 1) / a_page;
  if (canvas.button(key, grid.back(),
                    {.kind = Kind::quiet,
                     .text = say("pages.more"),
                     .second = say("pages.of", {std::to_string(page), std::to_string(of)}),
                     .type = Type::text}))
    first_ = first_ + a_page < count ? first_ + a_page : 0;
}

}  // namespace lastlook::screens
