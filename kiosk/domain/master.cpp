// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/master.h"

#include <fmt/format.h>
#include <re2/re2.h>

#include <algorithm>
#include <set>

namespace lastlook::domain {
namespace {

template <class Items>
auto by_id(const Items& items, const std::string& id) -> decltype(&items.front()) {
  for (const auto& item : items)
    if (item.id == id) return &item;
  return nullptr;
}

tl::unexpected<Error> wrong(const std::string& path, const std::string& what) {
  return fail(Category::bad_input, path + ": " + what);
}

template <class Items>
Status ids_are_distinct(const Items& items, const char* list) {
  std::set<std::string> seen;
  for (std::size_t i = 0; i < items.size(); ++i) {
    const std::string path = fmt::format("{}[{}].id", list, i);
    if (items[i].id.empty()) return wrong(path, "is empty, expected a name");
    if (!seen.insert(items[i].id).second)
      return wrong(path, fmt::format("'{}' is there twice", items[i].id));
  }
  return {};
}

Status check_pattern(const std::string& pattern) {
  const RE2 compiled(pattern, RE2::Quiet);
  if (!compiled.ok()) return wrong("tag_pattern", compiled.error());
  if (!compiled.NamedCapturingGroups().contains("serial"))
    return wrong("tag_pattern", "lacks a group named serial: (?P<serial>...)");
  return {};
}

Status check_variants(const Master& master) {
  std::set<std::string> types;
  for (std::size_t v = 0; v < master.variants.size(); ++v) {
    const Variant& variant = master.variants[v];
    if (!variant.tag_type.empty() && !types.insert(variant.tag_type).second)
      return wrong(fmt::format("variants[{}].tag_type", v),
                   fmt::format("'{}' already stands for another variant", variant.tag_type));
    if (variant.checklist.empty())
      return wrong(fmt::format("variants[{}].checklist", v),
                   "is empty, expected at least one step");
    std::set<std::string> steps;
    for (std::size_t s = 0; s < variant.checklist.size(); ++s) {
      const std::string path = fmt::format("variants[{}].checklist[{}].component", v, s);
      const std::string& component = variant.checklist[s].component;
      if (!master.component(component))
        return wrong(path, fmt::format("'{}' is not among the components", component));
      if (!steps.insert(component).second)
        return wrong(path, fmt::format("'{}' has a step already", component));
    }
  }
  return {};
}

Status check_defects(const Master& master) {
  for (std::size_t d = 0; d < master.defects.size(); ++d)
    for (std::size_t c = 0; c < master.defects[d].components.size(); ++c)
      if (!master.component(master.defects[d].components[c]))
        return wrong(
            fmt::format("defects[{}].components[{}]", d, c),
            fmt::format("'{}' is not among the components", master.defects[d].components[c]));
  if (!master.defect(something_else))
    return wrong("defects", fmt::format("lacks '{}', which every catalogue has", something_else));
  return {};
}

Status check_shifts(const Master& master) {
  for (std::size_t s = 0; s < master.shifts.size(); ++s) {
    const int start = master.shifts[s].start_min;
    const std::string path = fmt::format("shifts[{}].start_min", s);
    if (start < 0 || start >= 24 * 60)
      return wrong(path, fmt::format("{} is not a minute of a day, expected 0 to 1439", start));
    if (s > 0 && start <= master.shifts[s - 1].start_min)
      return wrong(path, "starts no later than the shift before it, expected them by start");
  }
  if (!master.day_starts_with.empty() && !by_id(master.shifts, master.day_starts_with))
    return wrong("day_starts_with",
                 fmt::format("'{}' is not among the shifts", master.day_starts_with));
  return {};
}

Status check_part(const Master& master, const ChallengePart& part, const std::string& path) {
  const Variant* variant = master.variant(part.variant);
  if (!variant)
    return wrong(path + ".variant", fmt::format("'{}' is not among the variants", part.variant));
  for (std::size_t f = 0; f < part.faults.size(); ++f)
    if (std::ranges::count(variant->checklist, part.faults[f], &Step::component) == 0)
      return wrong(fmt::format("{}.faults[{}]", path, f),
                   fmt::format("'{}' is no step of {}", part.faults[f], part.variant));
  return {};
}

// A proof takes a good part, so that nothing is stopped without reason, and a faulty one.
Status check_proofs(const Master& master) {
  for (std::size_t v = 0; v < master.variants.size(); ++v)
    for (const bool good : {true, false}) {
      const auto fits = [&](const ChallengePart& part) {
        return part.variant == master.variants[v].id && part.faults.empty() == good;
      };
      if (!std::ranges::any_of(master.challenge_parts, fits))
        return wrong(fmt::format("variants[{}]", v),
                     fmt::format("has no {} challenge part, and assist_needs_proof is true",
                                 good ? "good" : "faulty"));
    }
  return {};
}

Status check_challenge_parts(const Master& master) {
  std::set<std::string> serials;
  for (std::size_t p = 0; p < master.challenge_parts.size(); ++p) {
    const std::string path = fmt::format("challenge_parts[{}]", p);
    const std::string& serial = master.challenge_parts[p].serial;
    if (serial.empty()) return wrong(path + ".serial", "is empty, expected what its tag says");
    if (!serials.insert(serial).second)
      return wrong(path + ".serial", fmt::format("'{}' is there twice", serial));
    if (auto status = check_part(master, master.challenge_parts[p], path); !status) return status;
  }
  return master.assist_needs_proof ? check_proofs(master) : Status{};
}

Status check_lock(const Master& master) {
  if (master.lock_after_min >= 0 && master.lock_after_min <= 24 * 60) return {};
  return fail(Category::bad_input,
              fmt::format("lock_after_min: {} minutes, expected 0 (never) to {}",
                          master.lock_after_min, 24 * 60));
}

Status check_rate(const std::string& path, double rate) {
  if (rate >= 0.0 && rate <= 1.0) return {};
  return wrong(path, fmt::format("{} is no rate, expected 0 to 1", rate));
}

Status check_second_looks(const SecondLookRates& rates) {
  for (const auto& [name, rate] :
       {std::pair{"accept", rates.accept}, {"rework", rates.rework}, {"scrap", rates.scrap}})
    if (Status good = check_rate(fmt::format("second_looks.{}", name), rate); !good) return good;
  return {};
}

Status check_found(const Master& master, const std::string& path, const std::string& component,
                   const std::string& defect) {
  if (!component.empty() && !master.component(component))
    return wrong(path + ".component", fmt::format("'{}' is not among the components", component));
  const Defect* known = master.defect(defect);
  if (!known) return wrong(path + ".defect", fmt::format("'{}' is not among the defects", defect));
  const auto& places = known->components;
  if (!component.empty() && !places.empty() && std::ranges::count(places, component) == 0)
    return wrong(path + ".component", fmt::format("'{}' is not among the components where '{}' "
                                                  "can occur",
                                                  component, defect));
  return {};
}

Status check_plans(const Master& master) {
  constexpr int most_units = 1000;
  for (std::size_t p = 0; p < master.reaction_plans.size(); ++p) {
    const ReactionPlan& plan = master.reaction_plans[p];
    const std::string path = fmt::format("reaction_plans[{}]", p);
    if (Status found = check_found(master, path, plan.component, plan.defect); !found) return found;
    if (plan.in_units < 1 || plan.in_units > most_units)
      return wrong(path + ".in_units",
                   fmt::format("{} units, expected 1 to {}", plan.in_units, most_units));
    if (plan.times < 1 || plan.times > plan.in_units)
      return wrong(path + ".times", fmt::format("{} of {} units, expected 1 to {}", plan.times,
                                                plan.in_units, plan.in_units));
    if (plan.what.empty()) return wrong(path + ".what", "is empty, expected what is to be done");
  }
  return {};
}

Status check_samples(const Master& master) {
  for (std::size_t s = 0; s < master.limit_samples.size(); ++s) {
    const LimitSample& sample = master.limit_samples[s];
    const std::string path = fmt::format("limit_samples[{}]", s);
    if (sample.component.empty())
      return wrong(path + ".component", "is empty, expected a component");
    if (Status found = check_found(master, path, sample.component, sample.defect); !found)
      return found;
    if (sample.picture.empty() || sample.picture.size() > largest_sample)
      return wrong(path + ".picture", fmt::format("has {} bytes of base64, expected 1 to {}",
                                                  sample.picture.size(), largest_sample));
  }
  return {};
}

Status check_viewing(const Master& master) {
  if (!master.viewing) return {};
  if (master.viewing->least_lux < 0 || master.viewing->least_lux > 100'000)
    return wrong("viewing.least_lux",
                 fmt::format("{} lx, expected 0 to 100000", master.viewing->least_lux));
  if (master.viewing->distance_cm < 1 || master.viewing->distance_cm > 300)
    return wrong("viewing.distance_cm",
                 fmt::format("{} cm, expected 1 to 300", master.viewing->distance_cm));
  return {};
}

}  // namespace

double SecondLookRates::of(Disposition disposition) const {
  switch (disposition) {
    case Disposition::accept:
      return accept;
    case Disposition::rework:
      return rework;
    case Disposition::scrap:
      return scrap;
    case Disposition::hold:
      return 0.0;
  }
  return 0.0;
}

const ChallengePart* Master::challenge_part(const std::string& serial) const {
  const auto found = std::ranges::find(challenge_parts, serial, &ChallengePart::serial);
  return found == challenge_parts.end() ? nullptr : &*found;
}
const Variant* Master::variant(const std::string& id) const {
  return by_id(variants, id);
}
const Component* Master::component(const std::string& id) const {
  return by_id(components, id);
}
const Defect* Master::defect(const std::string& id) const {
  return by_id(defects, id);
}

const Variant* Master::variant_of_tag_type(const std::string& type) const {
  for (const Variant& variant : variants)
    if (variant.tag_type == type) return &variant;
  return nullptr;
}

std::vector<const Defect*> Master::defects_at(const std::string& component,
                                              Expectation expected) const {
  std::vector<const Defect*> found;
  for (const Defect& defect : defects) {
    const auto& places = defect.components;
    const bool here = places.empty() || std::ranges::count(places, component) > 0;
    const bool now = !defect.only_when || *defect.only_when == expected;
    if (here && now && defect.id != something_else) found.push_back(&defect);
  }
  if (const Defect* other = defect(something_else)) found.push_back(other);
  return found;
}

Status check(const Master& master) {
  return ids_are_distinct(master.components, "components")
      .and_then([&] { return ids_are_distinct(master.variants, "variants"); })
      .and_then([&] { return ids_are_distinct(master.defects, "defects"); })
      .and_then([&] { return ids_are_distinct(master.shifts, "shifts"); })
      .and_then([&] { return check_pattern(master.tag_pattern); })
      .and_then([&] { return check_variants(master); })
      .and_then([&] { return check_defects(master); })
      .and_then([&] { return check_shifts(master); })
      .and_then([&] { return check_challenge_parts(master); })
      .and_then([&] { return check_lock(master); })
      .and_then([&] { return check_second_looks(master.second_looks); })
      .and_then([&] { return check_rate("picture_sample", master.picture_sample); })
      .and_then([&] { return check_rate("answer_first_rate", master.answer_first_rate); })
      .and_then([&] { return ids_are_distinct(master.reaction_plans, "reaction_plans"); })
      .and_then([&] { return check_plans(master); })
      .and_then([&] { return check_samples(master); })
      .and_then([&] { return check_viewing(master); });
}

}  // namespace lastlook::domain
