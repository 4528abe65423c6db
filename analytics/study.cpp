// SPDX-License-Identifier: Apache-2.0
#include "analytics/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <tuple>
#include <unordered_map>

namespace lastlook::analytics {
namespace {

// Names in order of first appearance.
class Names {
 public:
  std::size_t number(const std::string& name) {
    const auto [found, is_new] = numbers_.try_emplace(name, list_.size());
    if (is_new) list_.push_back(name);
    return found->second;
  }
  std::vector<std::string> take() { return std::move(list_); }

 private:
  std::unordered_map<std::string, std::size_t> numbers_;
  std::vector<std::string> list_;
};

std::optional<double> as_number(const std::string& text) {
  double value = 0;
  const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || stop != text.data() + text.size() || !std::isfinite(value)) {
    return std::nullopt;
  }
  return value;
}

// The scale of the study and where each spelling lies on it.
struct RatingScale {
  std::vector<std::string> categories;
  std::unordered_map<std::string, std::size_t> place;
  bool ordered = true;
};

RatingScale scale_of(const std::vector<StudyRow>& rows) {
  Names names;
  for (const StudyRow& row : rows) {
    if (!row.rating.empty()) names.number(row.rating);
  }
  for (const StudyRow& row : rows) {
    if (!row.reference.empty()) names.number(row.reference);
  }
  const std::vector<std::string> spellings = names.take();
  RatingScale scale;
  std::map<double, std::vector<std::string>> by_number;
  for (const std::string& spelling : spellings) {
    const auto value = as_number(spelling);
    scale.ordered = scale.ordered && value.has_value();
    if (value) by_number[*value].push_back(spelling);
  }
  if (!scale.ordered) {
    scale.categories = spellings;
    for (std::size_t i = 0; i < spellings.size(); ++i) scale.place[spellings[i]] = i;
    return scale;
  }
  for (const auto& [value, same] : by_number) {
    for (const std::string& spelling : same) scale.place[spelling] = scale.categories.size();
    scale.categories.push_back(same.front());
  }
  return scale;
}

std::string lower(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

std::optional<std::size_t> good_by_name(const RatingScale& scale) {
  static const std::vector<std::string> kWords = {
      "conforming", "good", "ok", "pass", "passed", "accept", "accepted", "conform", "yes"};
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < scale.categories.size(); ++i) {
    if (std::find(kWords.begin(), kWords.end(), lower(scale.categories[i])) == kWords.end())
      continue;
    if (found) return std::nullopt;  // two that could be meant: neither is
    found = i;
  }
  if (found) return found;
  const bool zero_one = scale.ordered && scale.categories.size() == 2 &&
                        as_number(scale.categories[0]) == 0.0 &&
                        as_number(scale.categories[1]) == 1.0;
  return zero_one ? std::optional<std::size_t>(1) : std::nullopt;
}

Status find_good(const RatingScale& scale, const std::string& named, Study& study) {
  for (std::size_t i = 0; i < scale.categories.size(); ++i) {
    if (lower(scale.categories[i]) == "unsure") study.unsure = i;
  }
  if (named.empty()) {
    study.good = good_by_name(scale);
    return {};
  }
  const auto found = scale.place.find(named);
  if (found == scale.place.end()) {
    return fail(Category::bad_input, fmt::format("no rating is called '{}', expected one of: {}",
                                                 named, fmt::join(scale.categories, ", ")));
  }
  study.good = found->second;
  return {};
}

Status set_reference(Study& study, std::size_t item, const StudyRow& row,
                     const RatingScale& scale) {
  study.references.resize(std::max(study.references.size(), item + 1));
  if (row.reference.empty()) return {};
  const std::size_t category = scale.place.at(row.reference);
  std::optional<std::size_t>& known = study.references[item];
  if (known && *known != category) {
    return fail(Category::bad_input,
                fmt::format("line {}: item '{}' has the reference '{}', expected '{}' as before",
                            row.line, row.item, row.reference, scale.categories[*known]));
  }
  known = category;
  return {};
}

}  // namespace

bool Study::has_reference() const {
  return std::any_of(references.begin(), references.end(),
                     [](const auto& r) { return r.has_value(); });
}

Result<Study> make_study(const std::vector<StudyRow>& rows, const std::string& good) {
  if (rows.empty()) return fail(Category::bad_input, "line 2: expected at least one rating");
  const RatingScale scale = scale_of(rows);
  Study study;
  study.categories = scale.categories;
  study.ordered = scale.ordered;
  if (const Status s = find_good(scale, good, study); !s) return tl::unexpected(s.error());
  Names items;
  Names inspectors;
  Names trials;
  std::map<std::tuple<std::size_t, std::size_t, std::size_t>, std::int64_t> seen;
  for (const StudyRow& row : rows) {
    const Decision d{items.number(row.item), inspectors.number(row.inspector),
                     trials.number(row.trial), 0};
    const auto [first, is_new] = seen.try_emplace({d.item, d.inspector, d.trial}, row.line);
    if (!is_new) {
      return fail(
          Category::bad_input,
          fmt::format("line {}: item '{}', inspector '{}', trial '{}' is there a second time, "
                      "expected once (first at line {})",
                      row.line, row.item, row.inspector, row.trial, first->second));
    }
    if (const Status s = set_reference(study, d.item, row, scale); !s)
      return tl::unexpected(s.error());
    if (row.rating.empty()) continue;
    study.decisions.push_back(d);
    study.decisions.back().category = scale.place.at(row.rating);
  }
  if (study.decisions.empty())
    return fail(Category::bad_input, "line 2: expected at least one rating");
  study.items = items.take();
  study.inspectors = inspectors.take();
  study.trials = trials.take();
  return study;
}

std::vector<RatedPair> paired_by_trial(const Study& study, std::size_t a, std::size_t b) {
  std::map<std::pair<std::size_t, std::size_t>, std::size_t> of_a;
  for (const Decision& d : study.decisions) {
    if (d.inspector == a) of_a[{d.item, d.trial}] = d.category;
  }
  std::vector<RatedPair> pairs;
  for (const Decision& d : study.decisions) {
    if (d.inspector != b) continue;
    const auto partner = of_a.find({d.item, d.trial});
    if (partner != of_a.end()) pairs.push_back({d.item, partner->second, d.category});
  }
  return pairs;
}

Study first_trial_of(const Study& study) {
  Study first = study;
  std::erase_if(first.decisions, [](const Decision& d) { return d.trial != 0; });
  return first;
}

std::vector<RatedPair> paired_with_reference(const Study& study, std::size_t inspector) {
  std::vector<RatedPair> pairs;
  for (const Decision& d : study.decisions) {
    if (d.inspector != inspector || !study.references[d.item]) continue;
    pairs.push_back({d.item, d.category, *study.references[d.item]});
  }
  return pairs;
}

RatingColumns columns_by_trial(const Study& study) {
  std::map<std::pair<std::size_t, std::size_t>, std::vector<std::optional<std::size_t>>> rows;
  for (const Decision& d : study.decisions) {
    auto& row = rows[{d.item, d.trial}];
    row.resize(study.inspectors.size());
    row[d.inspector] = d.category;
  }
  RatingColumns columns;
  for (auto& [key, row] : rows) columns.push_back(std::move(row));
  return columns;
}

CategoryCounts counts_by_item(const Study& study) {
  CategoryCounts counts(study.items.size(), std::vector<double>(study.categories.size()));
  for (const Decision& d : study.decisions) counts[d.item][d.category] += 1;
  return counts;
}

std::vector<std::vector<std::size_t>> ratings_by_item(const Study& study, std::size_t inspector) {
  std::vector<std::vector<std::size_t>> ratings(study.items.size());
  for (const Decision& d : study.decisions) {
    if (d.inspector == inspector) ratings[d.item].push_back(d.category);
  }
  return ratings;
}

}  // namespace lastlook::analytics
