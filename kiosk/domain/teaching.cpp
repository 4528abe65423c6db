// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/teaching.h"

#include <algorithm>

namespace lastlook::domain {
namespace {

const Step* step_of(const Variant& variant, const std::string& component) {
  const auto found = std::ranges::find(variant.checklist, component, &Step::component);
  return found == variant.checklist.end() ? nullptr : &*found;
}

int good_of(const std::string& variant, const std::vector<TeachingShot>& shots) {
  return static_cast<int>(std::ranges::count_if(shots, [&](const TeachingShot& shot) {
    return shot.variant == variant && shot.faults.empty();
  }));
}

bool has_fault_at(const TeachingShot& shot, const std::string& component) {
  return std::ranges::count(shot.faults, component, &KnownFault::component) > 0;
}

}  // namespace

bool is_place(const Box& box) {
  return box.x >= 0 && box.y >= 0 && box.w >= least_mark && box.h >= least_mark &&
         box.x + box.w <= 1 && box.y + box.h <= 1;
}

std::size_t good_shots(const std::vector<TeachingShot>& shots) {
  return static_cast<std::size_t>(
      std::ranges::count_if(shots, [](const TeachingShot& shot) { return shot.faults.empty(); }));
}

std::string_view to_word(Seen seen) {
  switch (seen) {
    case Seen::present:
      return "present";
    case Seen::absent:
      return "absent";
    case Seen::wrong:
      return "wrong";
    case Seen::misplaced:
      return "misplaced";
  }
  return "?";
}

std::string_view to_word(Wanted::What what) {
  switch (what) {
    case Wanted::What::good:
      return "good";
    case Wanted::What::light:
      return "light";
    case Wanted::What::fault:
      return "fault";
  }
  return "?";
}

Expectation expected_at(const Master& master, const std::string& variant,
                        const std::string& component) {
  const Variant* known = master.variant(variant);
  if (const Step* step = known ? step_of(*known, component) : nullptr) return step->expected;
  const bool elsewhere = std::ranges::any_of(
      master.variants, [&](const Variant& other) { return step_of(other, component) != nullptr; });
  return elsewhere ? Expectation::absent : Expectation::present;
}

std::vector<Seen> possible_faults(Expectation expected) {
  if (expected == Expectation::absent) return {Seen::present, Seen::wrong};
  return {Seen::absent, Seen::wrong, Seen::misplaced};
}

std::vector<TeachingLabel> labels_of(const Master& master, const TeachingShot& shot,
                                     const std::vector<TeachingMark>& marks) {
  std::vector<TeachingLabel> labels;
  for (const TeachingMark& mark : marks) {
    const Expectation expected = expected_at(master, shot.variant, mark.component);
    const Seen right = expected == Expectation::present ? Seen::present : Seen::absent;
    const auto fault = std::ranges::find(shot.faults, mark.component, &KnownFault::component);
    const Seen seen = fault == shot.faults.end() ? right : fault->seen;
    labels.push_back({mark.component, seen, expected, seen == right});
  }
  return labels;
}

std::vector<Wanted> still_wanted(const std::string& variant, const std::vector<TeachingMark>& marks,
                                 const std::vector<TeachingShot>& shots) {
  std::vector<std::string> variants{variant};
  for (const TeachingShot& shot : shots)
    if (std::ranges::count(variants, shot.variant) == 0) variants.push_back(shot.variant);
  std::vector<Wanted> wanted;
  for (const std::string& one : variants)
    if (const int good = good_of(one, shots); good < least_good)
      wanted.push_back({Wanted::What::good, one, least_good - good});
  for (const std::string& one : variants)
    if (const int good = good_of(one, shots); good >= least_good && good < enough_good)
      wanted.push_back({Wanted::What::light, one, enough_good - good});
  for (const TeachingMark& mark : marks) {
    const bool shown = std::ranges::any_of(
        shots, [&](const TeachingShot& shot) { return has_fault_at(shot, mark.component); });
    if (!shown) wanted.push_back({Wanted::What::fault, mark.component, 1});
  }
  return wanted;
}

std::vector<std::string> variants_of(const Master& master, const std::vector<TeachingShot>& shots) {
  std::vector<std::string> variants;
  for (const Variant& variant : master.variants)
    if (std::ranges::count(shots, variant.id, &TeachingShot::variant) > 0)
      variants.push_back(variant.id);
  return variants;
}

}  // namespace lastlook::domain
