// SPDX-License-Identifier: Apache-2.0
// lastlook pchart: is it worse than usual? Charts of attributes from a table or a station's shifts.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "analytics/control_chart_drawing.h"
#include "analytics/multiplicity.h"
#include "analytics/rule_price.h"
#include "analytics/small_shift.h"
#include "kiosk/commands/chart_phases.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/pchart_samples.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/station_source.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

const std::map<std::string, ChartKind> kKinds = {
    {"p", ChartKind::p}, {"np", ChartKind::np},           {"c", ChartKind::c},
    {"u", ChartKind::u}, {"p-prime", ChartKind::p_prime}, {"u-prime", ChartKind::u_prime}};
const std::map<std::string, SmallShiftKind> kSmallShifts = {{"ewma", SmallShiftKind::ewma},
                                                            {"cusum", SmallShiftKind::cusum}};
const std::map<std::string, RareKind> kRare = {{"g", RareKind::g}, {"t", RareKind::t}};
const std::map<std::string, Question> kQuestions = {
    {"jump", Question::jump}, {"drift", Question::drift}, {"cycle", Question::cycle}};

struct ChartCommand {
  std::string file;
  StationSource station;
  OpenSource records;
  std::string kind = "p";
  std::string of = "p";  // what ewma and cusum add up
  std::string limits;    // sigma, but for rare events exact
  std::string phases = "records";
  std::vector<std::string> questions;
  std::vector<std::string> exclude;  // SAMPLE=REASON
  std::optional<double> centre;
  SmallShiftOptions small_shift;
  bool standardised = false;
  bool check = false;
  Delivery delivery;
};

// What was charted, and what rules cost where that can be said.
struct Charted {
  AttributeChart chart;
  std::vector<std::pair<std::string, double>> prices;  // points between false alarms
  std::optional<Overdispersion> wander;
};

Json number(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

std::vector<Question> questions_of(const ChartCommand& command) {
  std::vector<Question> questions;
  for (const std::string& name : command.questions) questions.push_back(kQuestions.at(name));
  return questions;
}

std::vector<std::pair<std::string, double>> prices(const AttributeChart& chart,
                                                   const ChartCommand& command) {
  const Result<ChartPrice> price = price_of(chart, questions_of(command));
  if (!price) return {};
  std::vector<std::pair<std::string, double>> out = {{"limits", price->points_between_limits}};
  for (std::size_t i = 0; i < command.questions.size(); ++i) {
    out.emplace_back(command.questions[i], price->questions[i].points_between);
  }
  return out;
}

// Of the last phase.
std::optional<Overdispersion> wander_of(const AttributeChart& chart) {
  std::vector<double> z;
  for (std::size_t i = chart.phases.back().first; i < chart.points.size(); ++i) {
    if (chart.points[i].z && chart.points[i].excluded.empty()) z.push_back(*chart.points[i].z);
  }
  const Result<Overdispersion> wander = overdispersion(z);
  return wander ? std::optional(*wander) : std::nullopt;
}

Json as_json(const Charted& charted, const ChartCommand& command) {
  const AttributeChart& chart = charted.chart;
  Json price = Json::object();
  for (const auto& [name, points] : charted.prices) {
    price[name] = std::isfinite(points) ? Json(points) : Json(nullptr);
  }
  Json points = Json::array();
  for (const ChartPoint& point : chart.points) {
    Json signals = Json::array();
    for (const Signal& signal : point.signals) signals.push_back(signal.reason);
    Json out = {{"sample", point.sample},         {"value", number(point.value)},
                {"lower", number(point.lower)},   {"upper", number(point.upper)},
                {"centre", number(point.centre)}, {"signals", std::move(signals)}};
    if (point.down) out["value_down"] = *point.down;
    if (!point.excluded.empty()) out["excluded"] = point.excluded;
    points.push_back(std::move(out));
  }
  Json phases = Json::array();
  for (const ChartPhase& phase : chart.phases) {
    phases.push_back({{"name", phase.name},
                      {"centre", phase.centre},
                      {"spread", phase.spread},
                      {"first", chart.points[phase.first].sample},
                      {"points", phase.end - phase.first}});
  }
  Json wander = nullptr;
  if (charted.wander) wander = {{"ratio", charted.wander->ratio}, {"p", charted.wander->p_value}};
  Json out = {{"kind", command.kind},        {"limits", command.limits},
              {"centre", chart.centre()},    {"points", std::move(points)},
              {"phases", std::move(phases)}, {"points_between_false_alarms", std::move(price)},
              {"overdispersion", wander},    {"notes", chart.notes}};
  add_as_of(out, command.records);
  return out;
}

Reply as_reply(const Charted& charted, const ChartCommand& command) {
  const AttributeChart& chart = charted.chart;
  const auto cell = [](const std::optional<double>& value) {
    return value ? fmt::format("{:.4f}", *value) : "-";
  };
  const bool two_sides = command.kind == "cusum";
  TextTable table(two_sides ? "lrrrrl" : "lrrrl");
  std::vector<std::string> head = {"sample", two_sides ? "rises" : "value"};
  if (two_sides) head.emplace_back("falls");
  head.insert(head.end(), {"lower", "upper", ""});
  table.row(head);
  for (const ChartPoint& point : chart.points) {
    std::vector<std::string> reasons;
    for (const Signal& signal : point.signals) reasons.push_back(signal.reason);
    if (!point.excluded.empty()) reasons.push_back("excluded: " + point.excluded);
    std::vector<std::string> cells = {point.sample, cell(point.value)};
    if (two_sides) cells.push_back(cell(point.down));
    cells.insert(cells.end(), {cell(point.lower), cell(point.upper),
                               fmt::format("{}", fmt::join(reasons, "; "))});
    table.row(cells);
  }
  Reply reply("Is it worse than usual?");
  reply.add(std::move(table));
  for (const ChartPhase& phase : chart.phases) {
    reply.add(fmt::format("{}{} chart of {}, centre {:.4f}; {}",
                          phase.name.empty() ? "" : phase.name + ": ", command.kind, chart.axis,
                          phase.centre, chart.limits_in_words));
  }
  for (const auto& [name, points] : charted.prices) {
    reply.add(std::isfinite(points)
                  ? fmt::format("{}: a false alarm every {:.0f} points or more", name, points)
                  : name + ": no false alarms");
  }
  for (const std::string& note : chart.notes) reply.add(note);
  add_as_of(reply, command.records);
  reply.made_from_file(command.file);
  return reply;
}

// Samples or events that are drawn and do not shape the limits, beside those that the table says.
template <class Sample>
Status exclude(const std::vector<std::string>& asked, std::vector<Sample>& samples) {
  for (const std::string& words : asked) {
    const auto equals = words.find('=');
    if (equals == std::string::npos || equals == 0 || equals + 1 == words.size())
      return fail(Category::bad_input,
                  fmt::format("--exclude: '{}', expected SAMPLE=REASON", words));
    const std::string name = words.substr(0, equals);
    bool found = false;
    for (Sample& sample : samples) {
      if (sample.name != name) continue;
      sample.excluded = words.substr(equals + 1);
      found = true;
    }
    if (!found)
      return fail(Category::bad_input,
                  fmt::format("--exclude: '{}', expected the name of a sample in the chart", name));
  }
  return {};
}

Result<std::vector<ChartSample>> samples_for(const ChartCommand& command, ChartKind kind) {
  if (!command.station.is_given()) return read_samples(command.file, kind);
  const bool findings = kind == ChartKind::c || kind == ChartKind::u || kind == ChartKind::u_prime;
  const records::View view = command.records.view();
  const records::Period& period = command.station.period;
  auto samples = station_samples(view, period, findings);
  if (!samples || command.phases == "none") return samples;
  return add_phases(view, period, *samples).map([&] { return std::move(*samples); });
}

std::string source_of(const ChartCommand& command) {
  return command.station.is_given() ? command.station.name() : command.file;
}

Result<Charted> chart_samples(const ChartCommand& command) {
  const bool adds_up = kSmallShifts.contains(command.kind);
  ChartOptions options;
  options.kind = kKinds.at(adds_up ? command.of : command.kind);
  options.limits = command.limits == "exact" ? LimitKind::exact : LimitKind::sigma;
  options.frozen_centre = command.centre;
  if (!adds_up) options.questions = questions_of(command);
  Result<std::vector<ChartSample>> samples = samples_for(command, options.kind);
  if (!samples) return tl::unexpected(samples.error());
  if (const Status s = exclude(command.exclude, *samples); !s) return tl::unexpected(s.error());
  Result<AttributeChart> chart = attribute_chart(*samples, options);
  if (!chart) return in_file(source_of(command), chart.error());
  Charted charted{*chart, {}, wander_of(*chart)};
  if (adds_up) {
    SmallShiftOptions small_shift = command.small_shift;
    small_shift.kind = kSmallShifts.at(command.kind);
    chart = small_shift_chart(charted.chart, small_shift);
  } else {
    charted.prices = prices(charted.chart, command);
    if (command.standardised) chart = standardised(charted.chart);
  }
  if (!chart) return in_file(source_of(command), chart.error());
  charted.chart = std::move(*chart);
  return charted;
}

Result<Charted> chart_events(const ChartCommand& command) {
  RareOptions options;
  options.kind = kRare.at(command.kind);
  options.limits = command.limits == "sigma" ? LimitKind::sigma : LimitKind::exact;
  options.questions = questions_of(command);
  Result<std::vector<RareEvent>> events = read_events(command.file, options.kind);
  if (!events) return tl::unexpected(events.error());
  if (const Status s = exclude(command.exclude, *events); !s) return tl::unexpected(s.error());
  Result<AttributeChart> chart = rare_event_chart(*events, options);
  if (!chart) return in_file(command.file, chart.error());
  return Charted{std::move(*chart), {}, std::nullopt};
}

Status check_usage(ChartCommand& command) {
  if (const Status s = check_source(command.file, command.station); !s) return s;
  const bool rare = kRare.contains(command.kind);
  const bool adds_up = kSmallShifts.contains(command.kind);
  if (command.limits.empty()) command.limits = rare ? "exact" : "sigma";
  const auto no = [](std::string_view what) {
    return fail(Category::bad_input, std::string(what));
  };
  if (rare && command.station.is_given())
    return no("--kind g and t: expected a file with the columns event,between");
  if (rare && (command.centre || command.standardised))
    return no("--kind g and t: expected neither --centre nor --standardised");
  if (adds_up && (command.limits == "exact" || command.standardised || !command.questions.empty()))
    return no(
        "--kind ewma and cusum bring limits of their own: expected no --limits exact, "
        "--standardised or --catch");
  return {};
}

// Options of one kind of chart with another would change nothing.
Status check_small_shift(const CLI::App& app, const ChartCommand& command) {
  const std::pair<const char*, std::vector<std::string>> of_kinds[] = {
      {"--of", {"ewma", "cusum"}},
      {"--weight", {"ewma"}},
      {"--shift-to-catch", {"cusum"}},
      {"--false-alarm-at", {"ewma", "cusum"}}};
  for (const auto& [option, kinds] : of_kinds)
    if (app.count(option) > 0 && std::ranges::count(kinds, command.kind) == 0)
      return fail(Category::bad_input,
                  fmt::format("{}: expected with --kind {}, not with --kind {}", option,
                              fmt::join(kinds, " or "), command.kind));
  return {};
}

int pchart(const CLI::App& app, ChartCommand& command) {
  Status s = check_usage(command);
  if (s) s = check_small_shift(app, command);
  if (s) s = check_options(app, command.station, {"--phases"}, {});
  if (s) s = open_where_given(command.station, command.records);
  if (!s) return report(s.error());
  const Result<Charted> charted =
      kRare.contains(command.kind) ? chart_events(command) : chart_samples(command);
  if (!charted) return report(charted.error());
  const auto draw = [&] {
    ControlChartOptions options;
    options.frame.title = "Is it worse than usual?";
    const WideSansMeasure measure;
    return control_chart_drawing(charted->chart, options, measure);
  };
  const Status said = deliver(
      command.delivery, as_reply(*charted, command), [&] { return as_json(*charted, command); },
      draw);
  if (!said) return report(said.error());
  return command.check && charted->chart.has_signals() ? says_no : done;
}

template <class Value>
void add_names(const std::map<std::string, Value>& map, std::vector<std::string>& names) {
  for (const auto& [name, value] : map) names.push_back(name);
}

void add_small_shift(CLI::App* app, ChartCommand& command) {
  app->add_option("--of", command.of, "What ewma and cusum add up: a chart that takes samples")
      ->check(CLI::IsMember({"p", "u", "c"}))
      ->capture_default_str();
  app->add_option("--weight", command.small_shift.lambda, "Of the newest point in an ewma")
      ->capture_default_str();
  app->add_option("--shift-to-catch", command.small_shift.shift,
                  "What a cusum looks for, in sigmas of one sample")
      ->capture_default_str();
  app->add_option("--false-alarm-at", command.small_shift.false_alarm_at,
                  "Points between false alarms of an ewma or cusum, on average")
      ->capture_default_str();
}

}  // namespace

void add_pchart(Program& program) {
  auto command = std::make_shared<ChartCommand>();
  CLI::App* app = program.app.add_subcommand(
      "pchart", "Says whether it is worse than usual: a control chart of attributes");
  add_source(app, command->file, command->station,
             "CSV with the columns sample,inspected,nonconforming; a column phase starts new "
             "limits where its text changes, a column excluded holds why a sample does not shape "
             "them. For g and t: event,between");
  app->add_option("--phases", command->phases,
                  "With --dir or --plant: records starts new limits where a revision changed what "
                  "is judged, "
                  "or the camera's opinions were taken into use or out of it; none does not")
      ->check(CLI::IsMember({"records", "none"}))
      ->capture_default_str();
  std::vector<std::string> kinds;
  add_names(kKinds, kinds);
  add_names(kSmallShifts, kinds);
  add_names(kRare, kinds);
  app->add_option("--kind", command->kind,
                  "p or np: nonconforming units; c or u: findings; p-prime, u-prime: where the "
                  "rate itself wanders; ewma, cusum: small shifts that last; g, t: good units or "
                  "time between rare events")
      ->check(CLI::IsMember(kinds))
      ->capture_default_str();
  app->add_option("--limits", command->limits,
                  "sigma, or exact from the binomial or Poisson (default: sigma; g and t: exact)")
      ->check(CLI::IsMember({"sigma", "exact"}));
  app->add_option("--catch", command->questions, "Looks for runs that answer: jump, drift, cycle")
      ->check(CLI::IsMember({"jump", "drift", "cycle"}))
      ->delimiter(',')
      ->allow_extra_args(false);
  app->add_option("--exclude", command->exclude,
                  "SAMPLE=REASON: this one is drawn, with the reason, and does not shape the "
                  "limits; may be repeated")
      ->allow_extra_args(false);
  app->add_option("--centre", command->centre, "Frozen centre, instead of the data's own");
  app->add_flag("--standardised", command->standardised,
                "Charts distances from the centre in sigmas: one scale for all sample sizes");
  add_small_shift(app, *command);
  app->add_flag("--check", command->check, "Ends with 1 where a point signals");
  add_delivery(app, command->delivery, "Writes JSON; p and u are rates from 0 to 1");
  app->footer(
      "Examples:\n"
      "  lastlook pchart shifts.csv --kind p --limits exact --catch jump,drift --json\n"
      "  lastlook pchart shifts.csv --kind cusum --shift-to-catch 0.5 --svg cusum.svg\n"
      "  lastlook pchart escapes.csv --kind t\n"
      "  lastlook pchart --dir station --from 2026-11-02 --html page.html");
  app->callback([&program, command, app] { program.exit_code = pchart(*app, *command); });
}

}  // namespace lastlook::commands
