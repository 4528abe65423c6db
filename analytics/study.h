// SPDX-License-Identifier: Apache-2.0
// An attribute agreement study: items, each rated by inspectors in trials, with or without a
// reference that says what each item really is.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/group_agreement.h"
#include "analytics/kappa.h"
#include "analytics/result.h"

namespace lastlook::analytics {

struct StudyRow {
  std::string item;
  std::string inspector;
  std::string trial;
  std::string rating;     // empty: missing
  std::string reference;  // empty: none
  std::int64_t line = 0;  // where it was read, for messages
};

struct Decision {
  std::size_t item = 0;
  std::size_t inspector = 0;
  std::size_t trial = 0;
  std::size_t category = 0;
};

struct Study {
  std::vector<std::string> items;       // in order of first appearance
  std::vector<std::string> inspectors;  // likewise
  std::vector<std::string> trials;      // likewise
  // All ratings and references: in order of numbers where all read as numbers, else of appearance.
  std::vector<std::string> categories;
  bool ordered = false;                                // the categories are numbers
  std::vector<Decision> decisions;                     // without the missing ones
  std::vector<std::optional<std::size_t>> references;  // of each item
  std::optional<std::size_t> good;                     // the category that means conforming
  // The category "unsure", as a camera gives it: neither accepts nor rejects, a person decides.
  std::optional<std::size_t> unsure;

  bool rejects(std::size_t category) const {  // `good` is known
    return category != *good && category != unsure;
  }

  bool has_reference() const;
};

// Errors (bad_input, with the line): the same item, inspector and trial twice; an item with two
// references; no row; no rating at all; `good` not among the ratings.
//
// `good` names the rating that means conforming. Where it is empty it is found by name (conforming,
// good, ok, pass, accept …), and of the two ratings 0 and 1 it is 1; else it stays unknown.
Result<Study> make_study(const std::vector<StudyRow>& rows, const std::string& good = "");

// Trials are paired by name: the rating of inspector a in trial t of an item goes with the rating
// of inspector b in trial t of the same item. What has no partner is left out.
std::vector<RatedPair> paired_by_trial(const Study& study, std::size_t a, std::size_t b);

// The study of the trial named first alone.
Study first_trial_of(const Study& study);

// Each rating of the inspector beside the item's reference.
std::vector<RatedPair> paired_with_reference(const Study& study, std::size_t inspector);

// One row for each item and trial, one column for each inspector.
RatingColumns columns_by_trial(const Study& study);

// For each item how many ratings, of all inspectors in all trials, fell in each category.
CategoryCounts counts_by_item(const Study& study);

// One inspector's ratings of each item, in all trials.
std::vector<std::vector<std::size_t>> ratings_by_item(const Study& study, std::size_t inspector);

}  // namespace lastlook::analytics
