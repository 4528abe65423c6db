// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/upcast.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace lastlook::records {

namespace {

void without_overlay(Json& body) {
  body["overlay"] = "";
}

void no_second_look(Json& body) {
  body["second_of"] = "";
}

void day_not_said(Json& body) {
  body["made"] = "";
}

void by_one_person(Json& body) {
  body["second_person"] = "";
}

constexpr std::array all_upcasters{
    Upcaster{"opinion_given", 1, without_overlay}, Upcaster{"part_judged", 1, without_overlay},
    Upcaster{"look_opened", 1, no_second_look}, Upcaster{"unit_built", 1, day_not_said},
    Upcaster{"master_adopted", 1, by_one_person}};

}  // namespace

std::span<const Upcaster> upcasters() {
  return all_upcasters;
}

std::int64_t newest_version(std::string_view kind, std::span<const Upcaster> all) {
  return 1 + std::ranges::count(all, kind, &Upcaster::kind);
}

Status upcast(Json& body, std::string_view kind, std::int64_t version,
              std::span<const Upcaster> all) {
  const std::int64_t newest = newest_version(kind, all);
  if (version > newest)
    return fail(Category::newer,
                fmt::format("{} is of version {}, and this program reads versions up to {}", kind,
                            version, newest));
  if (version < 1)
    return fail(Category::damaged, fmt::format("{} has no version {}", kind, version));
  for (; version < newest; ++version) {
    const auto step = std::ranges::find_if(
        all, [&](const Upcaster& one) { return one.kind == kind && one.from == version; });
    step->apply(body);
  }
  return {};
}

}  // namespace lastlook::records
