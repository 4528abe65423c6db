// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/keypad.h"

#include "kiosk/screens/modal.h"

namespace lastlook::screens {
namespace {

constexpr std::string_view keys = "1234567890ABCDEFGHIJKLMNOPQRSTUVWXYZ-";
constexpr std::size_t longest_text = 40, longest_pin = 12, shortest_pin = 4;
constexpr int columns = 10, rows = 4;

}  // namespace

void Keypad::open(std::string title) {
  open_ = true;
  title_ = std::move(title);
  text_.clear();
}

bool Keypad::draw_text(Canvas& canvas, const text::Strings& say, Rect row) {
  const Sizes& size = canvas.size;
  const Rect done = row.cut_right(size.touch_px * 2.2F, size.gap_px);
  const Rect back = row.cut_right(size.touch_px * 1.4F, size.gap_px);
  canvas.fill(row, Ink::sunk, size.round_px);
  canvas.centred(row.inside(size.pad_px, 0), text_.empty() ? say("keypad.empty") : text_, Say::sunk,
                 text_.empty() ? Type::text : Type::huge, Align::left);
  if (canvas.button("keypad.back", back, {.text = say("keypad.back")})) open_ = false;
  return canvas.button("keypad.done", done, {.kind = Kind::lead, .text = say("keypad.done")}) &&
         !text_.empty();
}

void Keypad::draw_keys(Canvas& canvas, const Rect& area) {
  const auto grid = cells(area, columns, rows, canvas.size.gap_px * 0.7F);
  for (std::size_t i = 0; i < keys.size(); ++i) {
    const std::string key(1, keys[i]);
    if (canvas.button("keypad." + key, grid[i], {.text = key}) && text_.size() < longest_text)
      text_ += key;
  }
  Rect last = grid[keys.size()];
  last.w = grid.back().right() - last.x;
  if (canvas.button("keypad.rub_out", last, {.text = "", .shape = Shape::rub_out}) &&
      !text_.empty())
    text_.pop_back();
}

std::optional<std::string> Keypad::draw(Canvas& canvas, const text::Strings& say) {
  if (!open_) return std::nullopt;
  const Sizes& size = canvas.size;
  Rect room = draw_panel(canvas, size.touch_px * 13, size.touch_px * 7);
  canvas.paragraph(room, title_, Say::card, Type::strong, size.gap_px);
  const bool confirmed =
      draw_text(canvas, say, room.cut_top(std::min(size.touch_px, room.h / 5), size.gap_px));
  draw_keys(canvas, room);
  if (!confirmed) return std::nullopt;
  open_ = false;
  return text_;
}

bool draw_pin_pad(Canvas& canvas, const text::Strings& say, const Rect& area, std::string& digits) {
  const auto grid = cells(area, 3, 4, canvas.size.gap_px);
  for (std::size_t i = 0; i < 11; ++i) {
    if (i == 9) continue;
    const std::string key(1, i == 10 ? '0' : static_cast<char>('1' + i));
    if (canvas.button("pin." + key, grid[i], {.text = key}) && digits.size() < longest_pin)
      digits += key;
  }
  if (canvas.button("pin.rub_out", grid[9],
                    {.kind = Kind::quiet, .text = "", .shape = Shape::rub_out}) &&
      !digits.empty())
    digits.pop_back();
  const bool enough = digits.size() >= shortest_pin;
  return canvas.button("pin.done", grid[11],
                       {.kind = enough ? Kind::lead : Kind::quiet, .text = say("pin.done")}) &&
         enough;
}

}  // namespace lastlook::screens
