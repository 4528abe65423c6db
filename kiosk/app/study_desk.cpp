// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/study_desk.h"

#include <algorithm>

#include "kiosk/records/study_queries.h"

namespace lastlook::app {

using namespace screens;

namespace {

bool is_of_study(const domain::Happening& happening) {
  return std::holds_alternative<domain::StudyPlanned>(happening) ||
         std::holds_alternative<domain::StudyRated>(happening) ||
         std::holds_alternative<domain::StudyEnded>(happening);
}

// As people are called; with the id where two of them are called the same.
std::string name_of(const std::string& id, const std::vector<records::Person>& people) {
  const auto known = std::ranges::find(people, id, &records::Person::id);
  if (known == people.end()) return id;
  const bool alone = std::ranges::count(people, known->name, &records::Person::name) == 1;
  return alone ? known->name : known->name + " (" + id + ")";
}

// In the names of people; with its numbers where it is looked at.
Result<StudyResult> study_result(domain::StudyRecord record,
                                 const std::vector<records::Person>& people, bool in_full) {
  const domain::StudyPlanned& plan = record.plan;
  StudyResult result{
      plan.study,
      plan.title,
      record.ratings.size(),
      plan.items.size() * plan.inspectors.size() * static_cast<std::size_t>(plan.trials),
      record.ended,
      std::nullopt,
      {}};
  if (!in_full || record.ratings.empty()) return result;
  for (domain::StudyRating& rating : record.ratings) rating.person = name_of(rating.person, people);
  auto study = domain::rated_study(record);
  if (!study) return tl::unexpected(study.error());
  result.agreement = analytics::agreement_of(*study);
  result.rated_as = std::move(*study);
  return result;
}

}  // namespace

void StudyDesk::handle(const RateStudy& rate) {
  facts_.rating.reset();
  if (!rate.study.empty()) facts_.rating = rate.study;
}

void StudyDesk::handle(const ShowStudy& show) {
  facts_.shown.reset();
  if (!show.study.empty()) facts_.shown = show.study;
}

// Nobody else writes here: what the records said holds until something is planned or rated.
void StudyDesk::follow(const std::vector<domain::Happening>& happenings) {
  if (!std::ranges::any_of(happenings, is_of_study)) return;
  going_on_.reset();
  all_.reset();
}

Status StudyDesk::gather(const std::vector<records::Person>& people, std::int64_t now_us) {
  const Status gathered = gather_tasks().and_then([&] { return gather_results(people); });
  const StudyTask* task = facts_.task();
  if (!task || now_us < task->turn.from_us) facts_.rating.reset();
  return gathered;
}

Status StudyDesk::gather_tasks() {
  facts_.tasks.clear();
  if (!going_on_) {
    auto read = records::studies_going_on(station_.records());
    if (!read) return tl::unexpected(read.error());
    going_on_ = std::move(*read);
  }
  for (const domain::StudyRecord& study : *going_on_)
    if (const auto turn = domain::study_turn(study, station_.state().person))
      facts_.tasks.push_back({study.plan, *turn});
  return {};
}

Status StudyDesk::gather_results(const std::vector<records::Person>& people) {
  const flows::Inspection& state = station_.state();
  facts_.results.clear();
  if (state.role != domain::Role::quality_engineer || state.person.empty()) {
    facts_.shown.reset();
    return {};
  }
  if (!all_) {
    auto read = records::studies(station_.records());
    if (!read) return tl::unexpected(read.error());
    all_ = std::move(*read);
  }
  for (const domain::StudyRecord& study : *all_) {
    auto result = study_result(study, people, facts_.shown == study.plan.study);
    if (!result) return tl::unexpected(result.error());
    facts_.results.push_back(*std::move(result));
  }
  return {};
}

std::string StudyDesk::picture() const {
  const StudyTask* task = facts_.task();
  return task ? task->plan.items[task->turn.item].picture : "";
}

}  // namespace lastlook::app
