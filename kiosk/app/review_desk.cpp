// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/review_desk.h"

#include <algorithm>
#include <ranges>
#include <tuple>

#include "kiosk/app/kept_picture.h"
#include "kiosk/app/story_pictures.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/records/finding_units.h"
#include "kiosk/reports/shift_page.h"
#include "kiosk/screens/wording.h"

namespace lastlook::app {

using namespace screens;

namespace {

RightAtFirst right_at_first(std::string which, const records::LookCounts& counts) {
  const auto rate = analytics::first_pass_yield(counts.first_pass, counts.first_looks);
  return {std::move(which), rate ? std::optional(*rate) : std::nullopt};
}

}  // namespace

ReviewDesk::ReviewDesk(const Parts& parts, ReviewFacts& facts)
    : parts_(parts), pictures_(parts.station.records().folder() / "pictures"), facts_(facts) {}

ReviewDesk::~ReviewDesk() {
  *alive_ = false;
}

void ReviewDesk::open() {
  which_.reset();
  facts_.page.written.clear();
  ask(Question::most);
}

void ReviewDesk::ask(Question question) {
  const int asked = facts_.asked + 1;
  const PageFacts page = facts_.page;
  facts_ = {};
  facts_.asked = asked;
  facts_.page = page;
  facts_.question = question;
  put_picture({}, "");
}

void ReviewDesk::handle(const ReviewEvent& event) {
  struct Take {
    ReviewDesk& desk;
    void operator()(const AskReview& question) const { desk.ask(question.question); }
    void operator()(const ShowShifts& show) const { desk.facts_.choosing = show.open; }
    void operator()(const AskShift& shift) const {
      desk.which_ = shift.which;
      desk.facts_.page.written.clear();
      desk.ask(desk.facts_.question);
    }
    void operator()(const WriteReport&) const { desk.write_report(); }
    void operator()(const ShowBehind& show) const {
      desk.facts_.behind.reset();
      if (!show.kind.empty()) desk.facts_.behind = BehindFacts{show.kind, 0, {}};
    }
    void operator()(const ShowStory& show) const { desk.show_story(show); }
    void operator()(const ShowConcessions& show) const { desk.facts_.concessions_open = show.open; }
  };
  std::visit(Take{*this}, event);
}

void ReviewDesk::show_story(const ShowStory& show) {
  put_picture({}, "");
  facts_.story.reset();
  if (show.look.empty()) return;
  facts_.story.emplace();
  facts_.story->look = show.look;
  facts_.story->shown = show.picture;
}

Status ReviewDesk::gather() {
  if (const Status chosen = choose_shift(); !chosen) return chosen;
  facts_.which = *which_;
  facts_.shift = reports::shift_name(parts_.station.state().master, which_->shift);
  if (facts_.choosing) return gather_shifts();
  if (facts_.story) return gather_story();
  if (facts_.behind) return gather_behind();
  if (facts_.concessions_open) return gather_concessions();
  return gather_question();
}

Status ReviewDesk::gather_question() {
  switch (facts_.question) {
    case Question::most:
      return gather_most();
    case Question::usual:
      return gather_usual();
    case Question::waiting:
      return gather_waiting();
    case Question::look:
    case Question::next:
      return gather_whole();
  }
  return {};
}

// The shift that runs; as long as it has no unit, the last one that has: who comes at the start of
// a shift asks about the one before.
Status ReviewDesk::choose_shift() {
  if (which_) return {};
  if (const Status gathered = gather_shifts(); !gathered) return gathered;
  which_ = facts_.shifts.front().which;
  const auto worked = std::ranges::find_if(
      facts_.shifts, [](const ShiftOnFile& shift) { return shift.counts.looks > 0; });
  if (worked != facts_.shifts.end()) which_ = worked->which;
  return {};
}

Status ReviewDesk::gather_shifts() {
  const domain::Master& master = parts_.station.state().master;
  const domain::ShiftOfDay now = domain::shift_of(master, parts_.clock.read());
  const auto rows =
      records::by_shift(parts_.station.records(), reports::four_weeks_to(now.production_date));
  if (!rows) return tl::unexpected(rows.error());
  const reports::WhichShift running{now.production_date, now.shift};
  facts_.shifts = {{running, reports::shift_name(master, now.shift), {}, true}};
  for (const records::ShiftRow& row : *rows | std::views::reverse) {
    const reports::WhichShift which{row.production_date, row.shift};
    if (which == running)
      facts_.shifts.front().counts = row.counts;
    else
      facts_.shifts.push_back({which, reports::shift_name(master, row.shift), row.counts, false});
  }
  return {};
}

std::string ReviewDesk::kind_name(const std::string& component, const std::string& defect) const {
  const domain::Master& master = parts_.station.state().master;
  return parts_.say()("verdict.finding",
                      {component_name(master, component), defect_name(master, defect)});
}

Status ReviewDesk::gather_most() {
  const auto counts = records::defect_counts(parts_.station.records(), reports::period_of(*which_));
  if (!counts) return tl::unexpected(counts.error());
  analytics::ParetoCounter counter;
  for (const records::DefectCount& count : *counts)
    if (count.findings > 0) counter.add(kind_name(count.component, count.defect), count.findings);
  facts_.defects = counter.table();
  return {};
}

Status ReviewDesk::gather_behind() {
  const auto findings =
      records::finding_units(parts_.station.records(), reports::period_of(*which_));
  if (!findings) return tl::unexpected(findings.error());
  BehindFacts& behind = *facts_.behind;
  behind.findings = 0;
  behind.units.clear();
  for (const records::FindingUnit& one : *findings) {
    if (kind_name(one.component, one.defect) != behind.kind) continue;
    ++behind.findings;
    if (!behind.units.empty() && behind.units.back().look == one.look) continue;
    behind.units.push_back({one.look, one.serial.empty() ? one.ticket : one.serial, one.number,
                            one.closed_us, one.disposition, one.held_back});
  }
  return {};
}

Status ReviewDesk::gather_story() {
  auto story = records::story_of_look(parts_.station.records(), facts_.story->look);
  if (!story) return tl::unexpected(story.error());
  StoryFacts& facts = *facts_.story;
  facts.told = story->now.state != "held_back";
  facts.pictures.clear();
  facts.held_by.clear();
  facts.to_link.clear();
  facts.grantable.clear();
  if (!facts.told) {
    facts.story = {};
    facts.trouble = "not_told";
    return {};
  }
  facts.story = std::move(*story);
  facts.pictures = story_pictures(facts.story, facts.look, [this](const auto& finding) {
    return kind_name(finding.component, finding.defect);
  });
  if (facts.shown >= facts.pictures.size()) facts.shown = 0;
  read_picture();
  gather_grantable();
  return gather_hold();
}

void ReviewDesk::gather_grantable() {
  StoryFacts& facts = *facts_.story;
  if (!domain::may(parts_.station.state().role, domain::Right::approve)) return;
  for (const records::LookStory& look : facts.story.looks) {
    if (look.look.look != facts.look) continue;
    facts.variant = look.look.variant;
    for (const records::FindingRow& row : look.findings)
      if (!row.withdrawn && row.defect != domain::something_else && !facts.variant.empty())
        facts.grantable.push_back(
            {row.look, row.finding, row.component, row.defect, row.severity, {}, "", ""});
  }
}

Status ReviewDesk::gather_hold() {
  StoryFacts& facts = *facts_.story;
  if (!domain::may(parts_.station.state().role, domain::Right::settle)) return {};
  if (facts.story.serial.empty()) {
    if (facts.story.now.state == "on_hold") facts.to_link = facts.look;
    return {};
  }
  const auto unit = parts_.station.lookups().unit(facts.story.serial);
  if (!unit) return tl::unexpected(unit.error());
  if (const domain::PastLook* held = flows::held_by(*unit)) facts.held_by = held->look;
  return {};
}

void ReviewDesk::read_picture() {
  const StoryFacts& facts = *facts_.story;
  if (facts.pictures.empty()) return put_picture({}, "none");
  const std::string hash = facts.pictures[facts.shown].hash;
  if (hash == plate_of_) return;
  plate_of_ = hash;
  parts_.tasks.run(
      parts_.main, [hash, pictures = pictures_] { return kept_picture(pictures, hash); },
      [this, hash, alive = alive_](const Result<cv::Mat>& picture) {
        if (!*alive || hash != plate_of_ || !facts_.story) return;
        put_picture(picture.value_or(cv::Mat()), picture ? "" : "missing");
        plate_of_ = hash;
        parts_.changed();
      });
}

void ReviewDesk::put_picture(const cv::Mat& picture, const std::string& trouble) {
  plate_of_.clear();
  plate_.picture = picture;
  ++plate_.changes;
  if (!facts_.story) return;
  facts_.story->texture = 0;
  facts_.story->trouble = trouble;
}

void ReviewDesk::show(std::uintptr_t texture, float aspect) {
  if (!facts_.story || plate_.picture.empty()) return;
  facts_.story->texture = texture;
  facts_.story->aspect = aspect;
  parts_.changed();
}

Status ReviewDesk::gather_usual() {
  records::Records& records = parts_.station.records();
  const reports::WhichShift& shift = *which_;
  const auto now = records::look_counts(records, reports::period_of(shift));
  if (!now) return tl::unexpected(now.error());
  auto before = reports::usual_before(records, shift);
  if (!before) return tl::unexpected(before.error());
  const auto changes = reports::changes_since(records, shift, *before);
  if (!changes) return tl::unexpected(changes.error());
  UsualFacts& usual = facts_.usual;
  usual = {};
  usual.standing = reports::standing_of(*before);
  usual.not_right = now->first_looks - now->first_pass;
  usual.rates = {right_at_first("now", *now)};
  if (before->by_shift) {  // else nothing was read of the shifts before
    usual.rates.push_back(
        right_at_first("last", before->last ? before->last->counts : records::LookCounts{}));
    usual.rates.push_back(right_at_first("weeks", before->weeks));
  }
  for (const reports::Change& change : *changes) {
    usual.changes.push_back(change.difference);
    usual.changes.back().name = worded(change);
    usual.changed += change.difference.changed ? 1 : 0;
  }
  usual.before = std::move(*before);
  return {};
}

std::string ReviewDesk::worded(const reports::Change& change) const {
  if (!change.component.empty()) return kind_name(change.component, change.defect);
  return parts_.say()(change.since == reports::Change::Since::weeks ? "usual.all_weeks"
                                                                    : "usual.all_last");
}

Status ReviewDesk::gather_whole() {
  auto facts = reports::shift_facts(parts_.station.records(), *which_, {}, parts_.clock.read());
  if (!facts) return tl::unexpected(facts.error());
  facts_.whole = std::move(*facts);
  return {};
}

// As the records are when the task gets to it, in the words of who asked.
void ReviewDesk::write_report() {
  if (facts_.page.being_written) return;
  facts_.page = {true, ""};
  parts_.tasks.run(
      parts_.main,
      [folder = parts_.station.records().folder(), which = *which_, say = parts_.say(),
       now = parts_.clock.read()] { return reports::write_shift_report(folder, which, say, now); },
      [this, alive = alive_](const Result<std::filesystem::path>& file) {
        if (!*alive) return;
        facts_.page = {false, file ? file->string() : ""};
        if (!file) parts_.tell(parts_.say()("fault.report", {file.error().message}));
        parts_.changed();
      });
}

Status ReviewDesk::gather_waiting() {
  auto waiting = records::waiting_units(parts_.station.records());
  if (!waiting) return tl::unexpected(waiting.error());
  facts_.waiting = std::move(*waiting);
  return {};
}

// Those that still let a unit pass first, then those that end last.
Status ReviewDesk::gather_concessions() {
  auto all = parts_.station.lookups().concessions();
  if (!all) return tl::unexpected(all.error());
  const std::int64_t now_us = parts_.clock.read().wall_us;
  std::ranges::stable_sort(*all, {}, [&](const domain::Concession& one) {
    return std::tuple(one.state(now_us) != domain::ConcessionState::valid, -one.grant.expires_us);
  });
  facts_.concessions = std::move(*all);
  return {};
}

}  // namespace lastlook::app
