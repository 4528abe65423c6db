// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/agreement_compare.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "analytics/table_chart.h"
#include "kiosk/commands/second_looks.h"
#include "kiosk/records/opinion_queries.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

using Words = std::vector<std::string>;

struct Comparison {
  std::string of;     // a component, an inspector; empty: all together
  std::string looks;  // of which looks, where they are told apart
  std::string a, b;
  Words words;  // of the categories
  std::string counted;
  TwoJudgements judged;
  std::size_t things = 0;
  std::size_t clusters = 0;  // units that they belong to
  bool weighted = false;     // things stand for more than themselves
  double worth = 0;          // as many units of one weight as those that there are
};

struct Compared {
  std::string title;
  std::vector<Comparison> all;              // all together first
  std::string rule;                         // how the numbers came to be, a sentence
  std::optional<SecondLooks> second_looks;  // those of the period
};

// --- second looks ------------------------------------------------------------------------------

Comparison compare_looks(const std::vector<records::SecondLookDone>& done, const std::string& by,
                         const BootstrapOptions& options) {
  std::vector<records::SecondLookDone> own;
  std::ranges::copy_if(done, std::back_inserter(own), [&](const records::SecondLookDone& look) {
    return by.empty() || look.first_by == by;
  });
  Comparison out;
  out.of = by;
  out.a = by.empty() ? "first look" : by;
  out.b = "second look";
  out.words = {"accept", "reject"};
  out.counted = "units";
  out.weighted = true;
  out.things = out.clusters = own.size();
  out.judged = weighted_agreement(as_second_looks(own, "day"), options);
  return out;
}

Result<Compared> second_looks(records::View view, const records::Period& period,
                              const CompareRequest& request) {
  auto looks = done_second_looks(view, period);
  if (!looks) return tl::unexpected(looks.error());
  const std::vector<records::SecondLookDone> done = looks->done;
  Compared out{"Do first and second looks agree?", {}, "", *std::move(looks)};
  out.rule =
      "Each unit counts by 1 / the rate at which it was drawn: an estimate of what all accepted, "
      "reworked and scrapped units would show; units on hold or under a concession are never "
      "drawn. "
      "Limits from the exact ones of accepted and of rejected units.";
  std::vector<std::string> inspectors;
  for (const records::SecondLookDone& look : done)
    if (std::ranges::count(inspectors, look.first_by) == 0) inspectors.push_back(look.first_by);
  std::ranges::sort(inspectors);
  if (request.inspector.empty() || request.inspector == "all")
    out.all.push_back(compare_looks(done, "", request.resamples));
  if (!request.inspector.empty() && request.inspector != "all") {
    if (std::ranges::count(inspectors, request.inspector) == 0)
      return fail(Category::refused,
                  fmt::format("no second look was done on a unit of '{}' in this period",
                              request.inspector));
    inspectors = {request.inspector};
  }
  if (!request.inspector.empty())
    for (const std::string& id : inspectors)
      out.all.push_back(compare_looks(done, id, request.resamples));
  return out;
}

// --- camera ------------------------------------------------------------------------------------

constexpr std::size_t kUnsure = 2;

// Two bodies under one ticket are two units.
const std::string& unit_of(const records::IndependentAnswer& one) {
  return one.serial.empty() ? one.look : one.serial;
}

Comparison compare_camera(const std::vector<records::IndependentAnswer>& answers,
                          const std::string& component, const BootstrapOptions& options) {
  Comparison out;
  out.of = component;
  out.weighted = !answers.front().first.empty();
  out.looks = out.weighted ? "second looks" : "ordinary looks";
  out.a = "people";
  out.b = "camera";
  out.words = {"conforming", "nonconforming", "unsure"};
  out.counted = "answers";
  std::vector<JudgedTwice> judged;
  std::map<std::string, double> units;
  for (const records::IndependentAnswer& one : answers) {
    if (!component.empty() && one.component != component) continue;
    const std::size_t camera = one.conforming == "yes" ? 0 : one.conforming == "no" ? 1 : kUnsure;
    judged.push_back({unit_of(one), one.answer == "conforming" ? 0U : 1U, camera, 1 / one.rate});
    units[unit_of(one)] = 1 / one.rate;
  }
  double sum = 0;
  double squares = 0;
  for (const auto& [unit, weight] : units) {
    sum += weight;
    squares += weight * weight;
  }
  out.worth = sum * sum / squares;
  out.things = judged.size();
  out.clusters = units.size();
  out.judged = two_judgements(judged, out.words.size(), options);
  return out;
}

// All components together, then each by its name.
void compare_components(const std::vector<records::IndependentAnswer>& answers,
                        const domain::Master& master, const BootstrapOptions& options,
                        std::vector<Comparison>& into) {
  if (answers.empty()) return;
  into.push_back(compare_camera(answers, "", options));
  std::set<std::string> components;
  for (const records::IndependentAnswer& one : answers) components.insert(one.component);
  for (const std::string& component : components) {
    into.push_back(compare_camera(answers, component, options));
    if (const auto* known = master.component(component)) into.back().of = known->name;
  }
}

Result<Compared> camera(records::View view, const records::Period& period,
                        const CompareRequest& request) {
  auto answers = records::independent_answers(view, period);
  if (!answers) return tl::unexpected(answers.error());
  if (answers->empty())
    return fail(Category::refused,
                "no answer of this period was given before the camera's opinion was on the screen; "
                "second looks are such answers");
  Compared out{"Do people and the camera agree?", {}, "", std::nullopt};
  out.rule =
      "Only answers that were given before the opinion was seen; 'unsure' is a category of its "
      "own; limits by resampling units with all their answers. Neither side is the truth. ";
  out.rule +=
      "Second looks are apart from ordinary ones: each of their answers counts by 1 / the rate at "
      "which its unit was drawn; units that were drawn and not looked at again are not among them.";
  std::vector<records::IndependentAnswer> of_second_looks;
  const auto second = std::ranges::stable_partition(
      *answers, [](const records::IndependentAnswer& one) { return one.first.empty(); });
  of_second_looks.assign(second.begin(), second.end());
  answers->erase(second.begin(), second.end());
  compare_components(*answers, view.master, request.resamples, out.all);
  compare_components(of_second_looks, view.master, request.resamples, out.all);
  return out;
}

// --- how it is said ----------------------------------------------------------------------------

Json rows_json(const Matrix& table) {
  Json rows = Json::array();
  for (std::size_t i = 0; i < table.size(); ++i) {
    Json row = Json::array();
    for (std::size_t j = 0; j < table.size(); ++j) row.push_back(table(i, j));
    rows.push_back(std::move(row));
  }
  return rows;
}

// Of units that agree throughout, the share that at least agrees, one-sided. Nothing where some
// differ, or where there are better limits.
std::optional<double> proved_alike(const Comparison& one) {
  const TwoJudgements& judged = one.judged;
  if (judged.alike_limits || !judged.alike || one.worth <= 0) return std::nullopt;
  for (std::size_t i = 0; i < judged.counts.size(); ++i)
    for (std::size_t j = 0; j < judged.counts.size(); ++j)
      if (i != j && judged.counts(i, j) > 0) return std::nullopt;
  const auto differ = exact_interval(0, one.worth, 2 * kConfidence - 1);
  return differ ? std::optional(1 - differ->high) : std::nullopt;
}

Json pair_json(const Comparison& one, Notes& notes) {
  const TwoJudgements& judged = one.judged;
  const std::string where = "pairs " + one.a + " " + one.b +
                            (one.looks.empty() ? "" : " " + one.looks) +
                            (one.of.empty() ? "" : " " + one.of);
  Json out = {{"a", one.a}, {"b", one.b}, {"of", one.of.empty() ? Json(nullptr) : Json(one.of)}};
  if (!one.looks.empty()) out["looks"] = one.looks;
  out["n"] = one.things;
  out["items"] = one.clusters;
  out["kappa"] = notes.value(judged.kappa, where, "kappa");
  for (const char* name : {"se", "ac1", "kappa_linear", "kappa_quadratic"}) out[name] = nullptr;
  notes.limits(out, "", judged.kappa ? judged.limits : tl::unexpected(judged.kappa.error()), where);
  out["agree"] = notes.value(judged.alike, where, "agree");
  notes.limits(out, "agree_", judged.alike_limits, where);
  if (const auto share = proved_alike(one)) out["agree_at_least"] = *share;
  out["categories"] = one.words;
  out["table"] = rows_json(judged.counts);
  out["stands_for"] = rows_json(judged.weighted);
  return out;
}

Json as_json(const Compared& compared) {
  Notes notes;
  Json out = {{"self", Json::array()}, {"pairs", Json::array()}};
  for (const Comparison& one : compared.all) out["pairs"].push_back(pair_json(one, notes));
  out["group"] = Json::object();
  for (const char* name : {"fleiss", "fleiss_se", "light", "conger", "alpha", "ac1"})
    out["group"][name] = nullptr;
  out["with_reference"] = Json::array();
  notes.add("self, group, with_reference: the records hold no study, each thing was judged twice");
  notes.add("se, ac1, kappa_linear, kappa_quadratic: not made of weighted or clustered judgements");
  if (compared.second_looks) out["second_looks"] = drawn_json(*compared.second_looks);
  out["notes"] = notes.list();
  return out;
}

std::string limits_words(const Result<Interval>& limits) {
  if (limits) return fmt::format("{:.3f} to {:.3f}", limits->low, std::min(1.0, limits->high));
  return "no limits: " + limits.error().message;
}

std::string sentence(const Comparison& one) {
  const TwoJudgements& judged = one.judged;
  if (!judged.alike) return judged.alike.error().message;
  std::string says =
      fmt::format("{} {}: alike {:.1f} %", one.things,
                  one.counted == "units" ? "units looked at twice"
                                         : fmt::format("answers on {} units", one.clusters),
                  100 * *judged.alike);
  if (judged.alike_limits)
    says += fmt::format(" ({:.1f} to {:.1f})", 100 * judged.alike_limits->low,
                        100 * judged.alike_limits->high);
  if (const auto share = proved_alike(one))
    says += fmt::format(
        "; that {} units agree throughout proves only that at least {:.1f} % of "
        "units do (95 %)",
        one.clusters, 100 * *share);
  if (!judged.kappa) return says + "; kappa: " + judged.kappa.error().message;
  return says + fmt::format("; kappa {:.3f} ({})", *judged.kappa, limits_words(judged.limits));
}

TextTable table_of(const Comparison& one) {
  const Matrix& counts = one.judged.counts;
  TextTable table("l" + std::string(counts.size(), 'r'));
  Words head = {one.a + " \\ " + one.b};
  head.insert(head.end(), one.words.begin(), one.words.end());
  table.row(head);
  for (std::size_t i = 0; i < counts.size(); ++i) {
    double row_sum = 0;
    for (std::size_t j = 0; j < counts.size(); ++j) row_sum += counts(i, j);
    if (row_sum == 0 && counts.size() > 2) continue;  // people are never unsure
    Words row = {one.words[i]};
    for (std::size_t j = 0; j < counts.size(); ++j) {
      std::string cell = fmt::format("{:.0f}", counts(i, j));
      if (one.weighted && one.judged.units > 0)
        cell += fmt::format(" (for {:.0f})", one.judged.weighted(i, j));
      row.push_back(std::move(cell));
    }
    table.row(row);
  }
  return table;
}

Reply as_reply(const Compared& compared) {
  Reply reply(compared.title);
  for (const Comparison& one : compared.all) {
    if (compared.all.size() > 1)
      reply.add((&one == compared.all.data() ? "== " : "\n== ") +
                (one.looks.empty() ? "" : one.looks + ": ") + (one.of.empty() ? "all" : one.of));
    reply.add(table_of(one));
    reply.add(sentence(one));
  }
  reply.add("\n" + compared.rule);
  if (compared.second_looks) reply.add(drawn_in_words(*compared.second_looks));
  return reply;
}

analytics::Chart drawing(const Compared& compared) {
  const Comparison& one = compared.all.front();
  JudgementTable table{one.a,        one.b, one.words, one.judged.counts, one.judged.weighted,
                       sentence(one)};
  const WideSansMeasure measure;
  // People are never unsure: two rows in any case.
  return judgement_table_chart(table, {760, 260, 14, compared.title}, measure);
}

}  // namespace

Status compare_from_records(const StationSource& source, const CompareRequest& request,
                            const Delivery& delivery) {
  const auto opened = open_source(source);
  if (!opened) return tl::unexpected(opened.error());
  const auto compared = request.what == "camera"
                            ? camera(opened->view(), source.period, request)
                            : second_looks(opened->view(), source.period, request);
  if (!compared) return tl::unexpected(compared.error());
  Reply reply = as_reply(*compared);
  add_as_of(reply, *opened);
  return deliver(
      delivery, reply,
      [&] {
        Json json = as_json(*compared);
        add_as_of(json, *opened);
        return json;
      },
      [&] { return drawing(*compared); });
}

}  // namespace lastlook::commands
