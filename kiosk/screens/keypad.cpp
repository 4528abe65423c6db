// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/keypad.h"

#include "kiosk/screens/modal.h"

namespace lastlook::screens {
namespace {

constexpr std::string_view serial_keys = "1234567890ABCDEFGHIJKLMNOPQRSTUVWXYZ-";
constexpr std::string_view mark_keys = ".,:?";
constexpr std::string_view digit_keys = "1234567890";
constexpr std::size_t longest_serial = 40, longest_words = 160, longest_number = 6;
constexpr std::size_t longest_pin = 12, shortest_pin = 4;
constexpr std::size_t space_cells = 1, rub_out_cells = 2;

// Each a character, of as many bytes as it has.
void add_each(std::vector<std::string>& keys, std::string_view characters) {
  for (const char byte : characters) {
    const bool goes_on = (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
    if (goes_on && !keys.empty())
      keys.back() += byte;
    else
      keys.emplace_back(1, byte);
  }
}

void rub_out(std::string& text) {
  while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U)
    text.pop_back();
  if (!text.empty()) text.pop_back();
}

}  // namespace

void Keypad::open(std::string title, For what) {
  open_ = true;
  for_ = what;
  title_ = std::move(title);
  text_.clear();
}

bool Keypad::draw_text(Canvas& canvas, const text::Strings& say, Rect row) {
  const Sizes& size = canvas.size;
  const Rect done = row.cut_right(size.touch_px * 2.2F, size.gap_px);
  const Rect back = row.cut_right(size.touch_px * 1.4F, size.gap_px);
  canvas.fill(row, Ink::sunk, size.round_px);
  const Type type = text_.empty() || for_ == For::words ? Type::text : Type::huge;
  canvas.centred(row.inside(size.pad_px, 0), text_.empty() ? say("keypad.empty") : text_, Say::sunk,
                 type, Align::left);
  if (canvas.button("keypad.back", back, {.text = say("keypad.back")})) open_ = false;
  return canvas.button("keypad.done", done, {.kind = Kind::lead, .text = say("keypad.done")}) &&
         !text_.empty();
}

std::vector<std::string> Keypad::keys(const text::Strings& say) const {
  std::vector<std::string> all;
  add_each(all, for_ == For::number ? digit_keys : serial_keys);
  if (for_ == For::words) {
    add_each(all, say("keypad.letters"));
    add_each(all, mark_keys);
  }
  return all;
}

void Keypad::draw_keys(Canvas& canvas, const text::Strings& say, const Rect& area) {
  const std::vector<std::string> all = keys(say);
  const bool words = for_ == For::words;
  const std::size_t longest = words                 ? longest_words
                              : for_ == For::number ? longest_number
                                                    : longest_serial;
  const std::size_t cells_needed = all.size() + rub_out_cells + (words ? space_cells : 0);
  const int columns = words ? 12 : for_ == For::number ? 4 : 10;
  const auto across = static_cast<std::size_t>(columns);
  const auto rows = static_cast<int>((cells_needed + across - 1) / across);
  const auto grid = cells(area, columns, rows, canvas.size.gap_px * 0.7F);
  const auto add = [&](const std::string& more) {
    if (for_ == For::number && text_.empty() && more == "0") return;
    if (text_.size() + more.size() <= longest) text_ += more;
  };
  for (std::size_t i = 0; i < all.size(); ++i)
    if (canvas.button("keypad." + all[i], grid[i], {.text = all[i]})) add(all[i]);
  Rect rest = grid[all.size()];
  rest.w = grid.back().right() - rest.x;
  if (words && canvas.button("keypad.space", rest.cut_left(rest.w / 2, canvas.size.gap_px * 0.7F),
                             {.text = say("keypad.space"), .type = Type::text}))
    add(" ");
  if (canvas.button("keypad.rub_out", rest, {.text = "", .shape = Shape::rub_out})) rub_out(text_);
}

std::optional<std::string> Keypad::draw(Canvas& canvas, const text::Strings& say) {
  if (!open_) return std::nullopt;
  const Sizes& size = canvas.size;
  Rect room = draw_panel(canvas, size.touch_px * 13, size.touch_px * 7);
  canvas.paragraph(room, title_, Say::card, Type::strong, size.gap_px);
  const bool confirmed =
      draw_text(canvas, say, room.cut_top(std::min(size.touch_px, room.h / 5), size.gap_px));
  draw_keys(canvas, say, room);
  if (!confirmed) return std::nullopt;
  open_ = false;
  return text_;
}

bool draw_pin_pad(Canvas& canvas, const std::string& done, const Rect& area, std::string& digits) {
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
                       {.kind = enough ? Kind::lead : Kind::quiet, .text = done}) &&
         enough;
}

}  // namespace lastlook::screens
