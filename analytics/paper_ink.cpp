// SPDX-License-Identifier: Apache-2.0
#include "analytics/paper_ink.h"

namespace lastlook::analytics {
namespace {

constexpr std::uint32_t kInk = 0x16202a;
constexpr std::uint32_t kQuiet = 0x46515c;
constexpr std::uint32_t kBlue = 0x0b4f8a;
constexpr std::uint32_t kOrange = 0xb84a00;
constexpr std::uint32_t kAlarm = 0x8a3800;

}  // namespace

PaperInk paper_ink(Role role) {
  switch (role) {
    case Role::title:
    case Role::label:
    case Role::value:
      return {kInk, kInk};
    case Role::note:
    case Role::limit:
      return {kQuiet, kQuiet};
    case Role::axis:
      return {0x7a8590, kQuiet};
    case Role::grid:
      return {0xd9dfe5, kQuiet};
    case Role::few:
      return {kBlue, kInk};
    case Role::many:
      return {0x8fb0cc, kInk};
    case Role::rest:
      return {0xd3dae0, kInk};
    case Role::series:
      return {0x2c3a47, kInk};
    case Role::centre:
    case Role::good:
      return {kBlue, kBlue};
    case Role::signal:
    case Role::bad:
      return {kOrange, kAlarm};
    case Role::excluded:
    case Role::phase:
      return {0x9aa4ad, kQuiet};
  }
  return {kInk, kInk};
}

}  // namespace lastlook::analytics
