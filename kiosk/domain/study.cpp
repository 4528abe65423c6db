// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <set>
#include <utility>

#include "analytics/random_stream.h"

namespace lastlook::domain {
namespace {

constexpr std::size_t most_word = 60;

tl::unexpected<Error> wrong(std::string_view path, std::string_view expected) {
  return fail(Category::bad_input, fmt::format("{}: expected {}", path, expected));
}

bool fits(const std::string& word) {
  return !word.empty() && word.size() <= most_word &&
         word.find_first_not_of(" \t\r\n") != std::string::npos;
}

Status check_words(std::string_view path, const std::vector<std::string>& words) {
  std::set<std::string> seen;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (!fits(words[i]) || !seen.insert(words[i]).second)
      return wrong(fmt::format("{}[{}]", path, i),
                   fmt::format("a word of 1 to {} letters, unlike the others", most_word));
  }
  return {};
}

Status check_items(const StudyPlanned& plan) {
  std::set<std::string> labels;
  for (std::size_t i = 0; i < plan.items.size(); ++i) {
    const StudyItem& item = plan.items[i];
    if (!fits(item.label) || !labels.insert(item.label).second)
      return wrong(fmt::format("items[{}].label", i),
                   fmt::format("a mark of 1 to {} letters, unlike the others", most_word));
    if (!item.reference.empty() && std::ranges::count(plan.ratings, item.reference) == 0)
      return wrong(fmt::format("items[{}].reference", i),
                   fmt::format("one of {}", fmt::join(plan.ratings, ", ")));
    if (item.picture.empty() != plan.items.front().picture.empty())
      return wrong(fmt::format("items[{}].picture", i), "all items with a picture or none");
  }
  return {};
}

// FNV-1a, 64 bits: the same everywhere, which std::hash does not promise.
std::uint64_t mixed(std::uint64_t hash, std::string_view text) {
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3U;
  return hash;
}

}  // namespace

Status check_study(const StudyPlanned& plan) {
  if (plan.study.empty()) return wrong("study", "an id");
  if (!fits(plan.title)) return wrong("title", fmt::format("1 to {} letters", most_word));
  if (plan.ratings.size() < 2 || plan.ratings.size() > most_study_ratings)
    return wrong("ratings", fmt::format("2 to {} words", most_study_ratings));
  if (plan.items.size() < least_study_items || plan.items.size() > most_study_items)
    return wrong("items", fmt::format("{} to {}", least_study_items, most_study_items));
  if (plan.inspectors.empty()) return wrong("inspectors", "one at the least");
  if (plan.trials < 1 || plan.trials > most_study_trials)
    return wrong("trials", fmt::format("1 to {}", most_study_trials));
  if (plan.gap_min < 0) return wrong("gap_min", "0 minutes or more");
  if (const Status s = check_words("ratings", plan.ratings); !s) return s;
  if (const Status s = check_words("inspectors", plan.inspectors); !s) return s;
  if (const Status s = check_words("panel", plan.panel); !s) return s;
  for (const std::string& person : plan.panel)
    if (std::ranges::count(plan.inspectors, person) > 0)
      return wrong("panel",
                   fmt::format("people who are not rated in it, {} knows the references", person));
  return check_items(plan);
}

std::vector<std::size_t> study_order(const StudyPlanned& plan, const std::string& person,
                                     std::int64_t trial) {
  std::vector<std::size_t> order(plan.items.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const std::uint64_t of_person = mixed(mixed(0xCBF29CE484222325U, plan.study), "/" + person) ^
                                  static_cast<std::uint64_t>(plan.seed);
  analytics::RandomStream random(of_person, static_cast<std::uint64_t>(trial));
  for (std::size_t left = order.size(); left > 1; --left)
    std::swap(order[left - 1], order[random.below(static_cast<std::uint32_t>(left))]);
  return order;
}

std::optional<StudyTurn> study_turn(const StudyRecord& study, const std::string& person) {
  const StudyPlanned& plan = study.plan;
  if (study.ended || std::ranges::count(plan.inspectors, person) == 0) return std::nullopt;
  std::size_t rated = 0;
  std::int64_t last_us = 0;
  for (const StudyRating& rating : study.ratings) {
    if (rating.person != person) continue;
    ++rated;
    last_us = rating.rated_us;
  }
  StudyTurn turn;
  turn.trial = 1 + static_cast<std::int64_t>(rated / plan.items.size());
  if (turn.trial > plan.trials) return std::nullopt;
  turn.done = rated % plan.items.size();
  turn.item = study_order(plan, person, turn.trial)[turn.done];
  if (turn.trial > 1 && turn.done == 0) turn.from_us = last_us + plan.gap_min * 60'000'000;
  return turn;
}

Result<analytics::Study> rated_study(const StudyRecord& study) {
  std::vector<analytics::StudyRow> rows;
  for (const StudyRating& rating : study.ratings) {
    const auto item = std::ranges::find(study.plan.items, rating.item, &StudyItem::label);
    if (item == study.plan.items.end())
      return fail(Category::damaged, fmt::format("study {} has no item {}, which was rated",
                                                 study.plan.study, rating.item));
    rows.push_back({rating.item, rating.person, std::to_string(rating.trial), rating.rating,
                    item->reference, 0});
  }
  // Before anybody has rated an item as conforming that word may still be unknown there.
  const std::string& good = study.plan.ratings.front();
  const bool known = std::ranges::any_of(rows, [&](const analytics::StudyRow& row) {
    return row.rating == good || row.reference == good;
  });
  return analytics::make_study(rows, known ? good : "");
}

}  // namespace lastlook::domain
