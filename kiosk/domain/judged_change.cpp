// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/judged_change.h"

#include <algorithm>
#include <set>

namespace lastlook::domain {
namespace {

using Words = std::vector<std::string>;

const Step* step_of(const Variant& variant, const std::string& component) {
  const auto found = std::ranges::find(variant.checklist, component, &Step::component);
  return found == variant.checklist.end() ? nullptr : &*found;
}

std::string name_of(const Master& master, const std::string& component) {
  const Component* known = master.component(component);
  return known ? known->name : component;
}

std::set<std::string> defects_of(const Master& master, const Step& step) {
  std::set<std::string> ids;
  for (const Defect* defect : master.defects_at(step.component, step.expected))
    ids.insert(defect->id);
  return ids;
}

std::set<UpstreamTest> required_tests(const Master& master) {
  std::set<UpstreamTest> tests;
  for (const UpstreamRule& rule : master.required_results) tests.insert(rule.test);
  return tests;
}

void compare_steps(const Master& before, const Step* old, const Master& after, const Step& now,
                   Words& words) {
  const std::string name = name_of(after, now.component);
  if (!old)
    words.push_back(name + " is new in the checklist");
  else if (old->expected != now.expected)
    words.push_back(name + " expected " + std::string(to_word(now.expected)));
  else if (old->instruction != now.instruction)
    words.push_back("what is right of " + name);
  else if (defects_of(before, *old) != defects_of(after, now))
    words.push_back("defects of " + name);
}

}  // namespace

Words judged_changes(const Master& before, const Master& after, const std::string& variant) {
  Words words;
  const Variant* old = before.variant(variant);
  const Variant* now = after.variant(variant);
  if (!old || !now) return words;
  for (const Step& step : now->checklist)
    compare_steps(before, step_of(*old, step.component), after, step, words);
  for (const Step& step : old->checklist)
    if (!step_of(*now, step.component))
      words.push_back(name_of(before, step.component) + " is no longer in the checklist");
  if (required_tests(before) != required_tests(after)) words.emplace_back("required results");
  return words;
}

}  // namespace lastlook::domain
