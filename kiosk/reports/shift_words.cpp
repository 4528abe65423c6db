// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_words.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::reports {
namespace {

std::string number(std::int64_t value) {
  return std::to_string(value);
}

}  // namespace

std::string percent(const text::Strings& say, double share) {
  return decimal(say, share * 100, 1);
}

std::string age(std::int64_t us, const text::Strings& say) {
  const std::int64_t minutes = std::max<std::int64_t>(us, 0) / 60'000'000;
  if (minutes < 60) return say("report.age.minutes", {number(minutes)});
  if (minutes < 48 * 60)
    return say("report.age.hours", {number(minutes / 60), number(minutes % 60)});
  return say("report.age.days", {number(minutes / 1440), number(minutes % 1440 / 60)});
}

std::string unit_name(const records::WaitingUnit& unit) {
  return unit.serial.empty() ? unit.ticket : unit.serial;
}

std::int64_t parked_units(const ShiftFacts& facts) {
  return std::ranges::count_if(facts.waiting, &records::WaitingUnit::parked);
}

std::string head(const ShiftFacts& facts, const text::Strings& say) {
  return say("report.head", {facts.shift_name, facts.which.production_date});
}

std::string most_answer(const ShiftFacts& facts, const text::Strings& say) {
  if (facts.findings.total == 0) return say("report.most.none");
  const analytics::ParetoRow& top = facts.findings.rows.front();
  return say("report.most.answer", {top.name, number(top.count), number(facts.findings.total),
                                    percent(say, top.percent / 100)});
}

std::string usual_answer(const ShiftFacts& facts, const text::Strings& say) {
  const Standing standing = standing_of(facts.usual);
  const std::string key = fmt::format("report.usual.{}", to_word(standing));
  if (standing == Standing::no_units) return say(key);
  if (standing == Standing::too_few_shifts)
    return say(key, {number(facts.usual.shifts), number(least_usual_shifts)});
  const analytics::ChartPoint& now = facts.usual.by_shift->points.back();
  const records::LookCounts& counts = facts.counts;
  return say(key,
             {number(counts.first_looks - counts.first_pass), number(counts.first_looks),
              percent(say, now.value.value_or(0)), percent(say, facts.usual.by_shift->centre()),
              percent(say, now.lower.value_or(0)), percent(say, now.upper.value_or(1))});
}

std::string waiting_answer(const ShiftFacts& facts, const text::Strings& say) {
  if (facts.waiting.empty()) return say("report.waiting.none");
  const auto units = static_cast<std::int64_t>(facts.waiting.size());
  const std::int64_t parked = parked_units(facts);
  return say("report.waiting.answer",
             {number(units), number(units - parked), number(parked),
              age(facts.written_us - facts.waiting.front().since_us, say)});
}

std::string look_answer(const ShiftFacts& facts, const text::Strings& say) {
  if (facts.camera.empty()) return say("report.look.none");
  const CameraSums& sums = facts.camera_sums;
  return say("report.look.answer",
             {number(sums.missed), number(sums.bad), number(sums.false_alarms), number(sums.good)});
}

std::string let_pass_answer(const ShiftFacts& facts, const text::Strings& say) {
  const auto& [escapes, drawn, field] = facts.let_pass;
  if (!escapes.rate || !escapes.at_most)
    return say(drawn > 0 ? "report.let_pass.waiting" : "report.let_pass.none", {number(drawn)});
  return say("report.let_pass.answer",
             {number(escapes.escapes), number(escapes.accepted), percent(say, *escapes.rate),
              percent(say, *escapes.at_most)});
}

std::string field_answer(const ShiftFacts& facts, const text::Strings& say) {
  const records::ClaimCounts& field = facts.let_pass.field;
  if (field.escaped + field.not_visible + field.not_judged == 0) return "";
  return say("report.let_pass.field",
             {number(field.escaped), number(field.not_visible), number(field.not_judged)});
}

std::string proof_answer(const ShiftFacts& facts, const text::Strings& say) {
  std::string all;
  for (const records::ProofOfShift& proof : facts.proofs)
    all += (all.empty() ? "" : "; ") +
           say("report.proof." + proof.state, {proof.variant, number(proof.parts)});
  return all.empty() ? say("report.proof.none") : all;
}

namespace {

void add_what_is_done(const ShiftFacts& facts, const text::Strings& say,
                      std::vector<std::string>& all) {
  for (const domain::Reaction& one : facts.reactions)
    all.push_back(
        say("report.next.reaction", {one.defect, number(one.times), number(one.in_units)}));
  std::int64_t longest_us = 0, came = 0;
  for (const domain::HelpCall& call : facts.help) {
    if (call.came_us == 0) continue;
    ++came;
    longest_us = std::max(longest_us, call.came_us - call.called_us);
  }
  if (came > 0) all.push_back(say("report.next.help", {number(came), age(longest_us, say)}));
  if (came < std::ssize(facts.help)) all.push_back(say("report.next.help_open"));
  if (std::ranges::any_of(facts.viewing, [](const auto& it) { return !it.allowed_by.empty(); }))
    all.push_back(say("report.next.viewing"));
}

}  // namespace

std::vector<std::string> next_answers(const ShiftFacts& facts, const text::Strings& say) {
  std::vector<std::string> all;
  if (facts.journal && !facts.journal->whole())
    all.push_back(say("report.next.journal", {number(facts.journal->faults.front().seq)}));
  if (standing_of(facts.usual) == Standing::worse && !facts.findings.rows.empty())
    all.push_back(say("report.next.worse", {facts.findings.rows.front().name}));
  if (facts.camera_sums.missed > 0)
    all.push_back(say("report.next.missed", {number(facts.camera_sums.missed)}));
  for (const records::ProofOfShift& proof : facts.proofs)
    if (!proof.failures.empty()) all.push_back(say("report.next.proof", {proof.variant}));
  if (!facts.waiting.empty())
    all.push_back(
        say("report.next.waiting", {number(static_cast<std::int64_t>(facts.waiting.size()))}));
  add_what_is_done(facts, say, all);
  for (const std::string& note : facts.notes) all.push_back(say("report.next.note", {note}));
  if (all.empty()) all.push_back(say("report.next.nothing"));
  return all;
}

}  // namespace lastlook::reports
