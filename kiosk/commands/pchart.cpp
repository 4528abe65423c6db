// SPDX-License-Identifier: Apache-2.0
// lastlook pchart: is it worse than usual? Charts of attributes from a table of samples.
#include <fmt/format.h>

#include <cmath>
#include <map>

#include "analytics/control_chart_drawing.h"
#include "analytics/rule_price.h"
#include "analytics/svg.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/pchart_samples.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

const std::map<std::string, ChartKind> kKinds = {
    {"p", ChartKind::p}, {"np", ChartKind::np},           {"c", ChartKind::c},
    {"u", ChartKind::u}, {"p-prime", ChartKind::p_prime}, {"u-prime", ChartKind::u_prime}};
const std::map<std::string, Question> kQuestions = {
    {"jump", Question::jump}, {"drift", Question::drift}, {"cycle", Question::cycle}};

struct ChartCommand {
  std::string file;
  std::string kind = "p";
  std::string limits = "sigma";
  std::vector<std::string> questions;
  std::optional<double> centre;
  std::string svg;
  bool check = false;
  bool json = false;
};

Json number(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

std::vector<Question> questions_of(const ChartCommand& command) {
  std::vector<Question> questions;
  for (const std::string& name : command.questions) questions.push_back(kQuestions.at(name));
  return questions;
}

// Points from one false alarm to the next, for the limits and each question.
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

Json as_json(const AttributeChart& chart, const ChartCommand& command) {
  Json price = Json::object();
  for (const auto& [name, points] : prices(chart, command)) {
    price[name] = std::isfinite(points) ? Json(points) : Json(nullptr);
  }
  Json points = Json::array();
  for (const ChartPoint& point : chart.points) {
    Json signals = Json::array();
    for (const Signal& signal : point.signals) signals.push_back(signal.reason);
    Json out = {{"sample", point.sample},         {"value", number(point.value)},
                {"lower", number(point.lower)},   {"upper", number(point.upper)},
                {"centre", number(point.centre)}, {"signals", std::move(signals)}};
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
  return {{"kind", command.kind},        {"limits", command.limits},
          {"centre", chart.centre()},    {"points", std::move(points)},
          {"phases", std::move(phases)}, {"points_between_false_alarms", std::move(price)},
          {"notes", chart.notes}};
}

std::string as_text(const AttributeChart& chart, const ChartCommand& command) {
  const auto cell = [](const std::optional<double>& value) {
    return value ? fmt::format("{:.4f}", *value) : "-";
  };
  TextTable table("lrrrl");
  table.row({"sample", "value", "lower", "upper", ""});
  for (const ChartPoint& point : chart.points) {
    std::vector<std::string> reasons;
    for (const Signal& signal : point.signals) reasons.push_back(signal.reason);
    if (!point.excluded.empty()) reasons.push_back("excluded: " + point.excluded);
    table.row({point.sample, cell(point.value), cell(point.lower), cell(point.upper),
               fmt::format("{}", fmt::join(reasons, "; "))});
  }
  std::string text = table.text();
  for (const ChartPhase& phase : chart.phases) {
    text += fmt::format("{}{} chart, {} limits, centre {:.4f}\n",
                        phase.name.empty() ? "" : phase.name + ": ", command.kind, command.limits,
                        phase.centre);
  }
  for (const auto& [name, points] : prices(chart, command)) {
    text += std::isfinite(points)
                ? fmt::format("{}: a false alarm every {:.0f} points or more\n", name, points)
                : name + ": no false alarms\n";
  }
  for (const std::string& note : chart.notes) text += note + "\n";
  return text;
}

Result<AttributeChart> read_chart(const ChartCommand& command) {
  ChartOptions options;
  options.kind = kKinds.at(command.kind);
  options.limits = command.limits == "exact" ? LimitKind::exact : LimitKind::sigma;
  options.frozen_centre = command.centre;
  options.questions = questions_of(command);
  const Result<std::vector<ChartSample>> samples = read_samples(command.file, options.kind);
  if (!samples) return tl::unexpected(samples.error());
  Result<AttributeChart> chart = attribute_chart(*samples, options);
  if (!chart) return in_file(command.file, chart.error());
  return chart;
}

Status draw(const AttributeChart& chart, const ChartCommand& command) {
  if (command.svg.empty()) return {};
  ControlChartOptions options;
  options.frame.title = "Is it worse than usual?";
  const WideSansMeasure measure;
  return write_text_file(command.svg, to_svg(control_chart_drawing(chart, options, measure)));
}

int pchart(const ChartCommand& command) {
  const Result<AttributeChart> chart = read_chart(command);
  if (!chart) return report(chart.error());
  if (const Status s = draw(*chart, command); !s) return report(s.error());
  fmt::print("{}",
             command.json ? as_json(*chart, command).dump(2) + "\n" : as_text(*chart, command));
  return command.check && chart->has_signals() ? says_no : done;
}

template <class Value>
std::vector<std::string> names(const std::map<std::string, Value>& map) {
  std::vector<std::string> out;
  for (const auto& [name, value] : map) out.push_back(name);
  return out;
}

}  // namespace

void add_pchart(Program& program) {
  auto command = std::make_shared<ChartCommand>();
  CLI::App* app = program.app.add_subcommand(
      "pchart", "Says whether it is worse than usual: a control chart of attributes");
  app->add_option("FILE", command->file,
                  "CSV with the columns sample,inspected,nonconforming; a column phase starts new "
                  "limits where "
                  "its text changes, a column excluded holds why a sample does not shape them")
      ->required();
  app->add_option("--kind", command->kind,
                  "p or np: nonconforming units; c or u: findings; p-prime, u-prime: where the "
                  "rate itself wanders")
      ->check(CLI::IsMember(names(kKinds)))
      ->capture_default_str();
  app->add_option("--limits", command->limits, "sigma, or exact from the binomial or Poisson")
      ->check(CLI::IsMember({"sigma", "exact"}))
      ->capture_default_str();
  app->add_option("--catch", command->questions, "Looks for runs that answer: jump, drift, cycle")
      ->check(CLI::IsMember(names(kQuestions)))
      ->delimiter(',');
  app->add_option("--centre", command->centre, "Frozen centre, instead of the data's own");
  app->add_option("--svg", command->svg, "Draws the chart into this file");
  app->add_flag("--check", command->check, "Ends with 1 where a point signals");
  app->add_flag("--json", command->json, "Writes JSON; p and u are rates from 0 to 1");
  app->footer(
      "Example:\n  lastlook pchart shifts.csv --kind p --limits exact --catch jump,drift --json");
  app->callback([&program, command] { program.exit_code = pchart(*command); });
}

}  // namespace lastlook::commands
