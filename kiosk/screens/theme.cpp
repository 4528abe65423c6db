// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/theme.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace lastlook::screens {
namespace {

constexpr Rgb hex(unsigned value) {
  return {static_cast<std::uint8_t>(value >> 16U), static_cast<std::uint8_t>((value >> 8U) & 255U),
          static_cast<std::uint8_t>(value & 255U)};
}

struct Row {
  Ink ink;
  unsigned light, dark;
};

constexpr std::array rows{
    Row{Ink::paper, 0xEFF1EC, 0x101817}, Row{Ink::card, 0xFBFCF9, 0x19231F},
    Row{Ink::sunk, 0xE2E6DF, 0x0A100F},  Row{Ink::press, 0xCDD6CF, 0x2A3933},
    Row{Ink::line, 0xC3CBC4, 0x33403B},  Row{Ink::edge, 0x6F7D75, 0x76867E},
    Row{Ink::text, 0x14211D, 0xEEF3EF},  Row{Ink::quiet, 0x36443E, 0xBCC8C1},
    Row{Ink::lead, 0x124A4C, 0x8FD6CC},  Row{Ink::on_lead, 0xFFFFFF, 0x06201D},
    Row{Ink::good, 0x0C6348, 0x98F7D4},  Row{Ink::on_good, 0xFFFFFF, 0x06201D},
    Row{Ink::warn, 0xF2B63C, 0xFBCB55},  Row{Ink::on_warn, 0x2A1B00, 0x2A1B00},
    Row{Ink::stop, 0x820812, 0xFA8E86},  Row{Ink::on_stop, 0xFFFFFF, 0x2D0806},
    Row{Ink::must, 0x0D306F, 0x9FBDF6},  Row{Ink::on_must, 0xFFFFFF, 0x081A33},
    Row{Ink::few, 0x124A4C, 0x8FD6CC},   Row{Ink::many, 0x738F87, 0x5F7F78},
    Row{Ink::rest, 0xB4BFB8, 0x46534D},  Row{Ink::halo, 0xFFFFFF, 0xFFFFFF},
    Row{Ink::shade, 0x0A100F, 0x0A100F},
};
static_assert(rows.size() == static_cast<std::size_t>(Ink::count_));

Theme theme_of(unsigned Row::*column) {
  Theme theme;
  for (const Row& row : rows) theme.table[static_cast<int>(row.ink)] = hex(row.*column);
  return theme;
}

double linear(std::uint8_t channel) {
  const double c = channel / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(Rgb c) {
  return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

}  // namespace

const Theme& light_theme() {
  static const Theme theme = theme_of(&Row::light);
  return theme;
}

const Theme& dark_theme() {
  static const Theme theme = theme_of(&Row::dark);
  return theme;
}

Pair pair_of(Say say) {
  switch (say) {
    case Say::body:
      return {Ink::text, Ink::paper};
    case Say::quiet:
      return {Ink::quiet, Ink::paper};
    case Say::card:
      return {Ink::text, Ink::card};
    case Say::card_quiet:
      return {Ink::quiet, Ink::card};
    case Say::sunk:
      return {Ink::quiet, Ink::sunk};
    case Say::press:
      return {Ink::text, Ink::press};
    case Say::lead:
      return {Ink::lead, Ink::paper};
    case Say::card_lead:
      return {Ink::lead, Ink::card};
    case Say::card_good:
      return {Ink::good, Ink::card};
    case Say::card_stop:
      return {Ink::stop, Ink::card};
    case Say::card_must:
      return {Ink::must, Ink::card};
    case Say::on_lead:
      return {Ink::on_lead, Ink::lead};
    case Say::on_good:
      return {Ink::on_good, Ink::good};
    case Say::on_warn:
      return {Ink::on_warn, Ink::warn};
    case Say::on_stop:
      return {Ink::on_stop, Ink::stop};
    case Say::on_must:
      return {Ink::on_must, Ink::must};
    case Say::count_:
      break;
  }
  return {Ink::text, Ink::paper};
}

std::span<const Pair> shape_pairs() {
  static constexpr std::array pairs{
      Pair{Ink::edge, Ink::paper},   Pair{Ink::edge, Ink::card}, Pair{Ink::lead, Ink::paper},
      Pair{Ink::good, Ink::card},    Pair{Ink::stop, Ink::card}, Pair{Ink::must, Ink::card},
      Pair{Ink::good, Ink::sunk},    Pair{Ink::stop, Ink::sunk}, Pair{Ink::must, Ink::sunk},
      Pair{Ink::on_warn, Ink::warn}, Pair{Ink::few, Ink::paper}, Pair{Ink::few, Ink::card},
      Pair{Ink::halo, Ink::shade},
  };
  return pairs;
}

double contrast(Rgb a, Rgb b) {
  const auto [dark, light] = std::minmax({luminance(a), luminance(b)});
  return (light + 0.05) / (dark + 0.05);
}

Ink ink_of(analytics::Role role) {
  using analytics::Role;
  switch (role) {
    case Role::few:
    case Role::centre:
    case Role::good:
      return Ink::few;
    case Role::many:
      return Ink::many;
    case Role::rest:
      return Ink::rest;
    case Role::grid:
      return Ink::line;
    case Role::axis:
    case Role::limit:
    case Role::phase:
    case Role::excluded:
      return Ink::edge;
    case Role::signal:
    case Role::bad:
      return Ink::stop;
    case Role::title:
    case Role::label:
    case Role::value:
    case Role::note:
    case Role::series:
      break;
  }
  return Ink::text;
}

Say say_of(analytics::Role role) {
  using analytics::Role;
  switch (role) {
    case Role::note:
    case Role::axis:
    case Role::limit:
    case Role::phase:
    case Role::excluded:
      return Say::card_quiet;
    case Role::signal:
    case Role::bad:
      return Say::card_stop;
    case Role::centre:
    case Role::good:
      return Say::card_lead;
    default:
      return Say::card;
  }
}

}  // namespace lastlook::screens
