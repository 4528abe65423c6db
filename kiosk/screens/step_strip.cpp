// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/step_strip.h"

namespace lastlook::screens {
namespace {

void draw_cell(Canvas& canvas, const flows::StepState& step, std::size_t number, bool here,
               Rect cell) {
  const Sizes& size = canvas.size;
  canvas.fill(cell, here ? Ink::card : Ink::sunk, size.round_px * 0.6F);
  if (here) canvas.outline(cell, Ink::lead, 3, size.round_px * 0.6F);
  const float mark = std::min(size.strong_px, cell.w * 0.5F);
  const Rect top = cell.cut_top(cell.h * 0.56F);
  const Spot at{top.centre().x, top.centre().y + size.gap_px * 0.2F};
  switch (step.answer) {
    case domain::Answer::conforming:
      canvas.shape(Shape::conforming, at, mark, Ink::good, here ? Ink::card : Ink::sunk);
      break;
    case domain::Answer::nonconforming:
      canvas.shape(Shape::nonconforming, at, mark * 1.15F, Ink::on_warn, Ink::warn);
      canvas.shape(Shape::nonconforming, at, mark, Ink::warn, Ink::on_warn);
      break;
    case domain::Answer::not_answered:
      canvas.shape(Shape::open, at, mark * 0.8F, Ink::edge, Ink::sunk);
      break;
  }
  canvas.centred(cell, std::to_string(number), here ? Say::card : Say::sunk, Type::text);
}

}  // namespace

float step_strip_height(const Canvas& canvas) {
  return canvas.line_of(Type::text) * 2.6F;
}

std::optional<std::size_t> draw_step_strip(Canvas& canvas, const flows::OpenLook& look,
                                           std::size_t at, const Rect& area) {
  std::optional<std::size_t> touched;
  if (look.steps.empty()) return touched;
  const auto grid = cells(area, static_cast<int>(look.steps.size()), 1, canvas.size.gap_px * 0.5F);
  for (std::size_t i = 0; i < look.steps.size(); ++i) {
    draw_cell(canvas, look.steps[i], i + 1, i == at, grid[i]);
    if (canvas.target("step." + look.steps[i].step.component, grid[i])) touched = i;
  }
  return touched;
}

}  // namespace lastlook::screens
