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
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

const std::map<std::string, ChartKind> kKinds = {
    {"p", ChartKind::p}, {"np", ChartKind::np},           {"c", ChartKind::c},
    {"u", ChartKind::u}, {"p-prime", ChartKind::p_prime}, {"u-prime", ChartKind::u_prime}};
const std::map<std::string, Question> kQuestions = {
    {"jump", Question::jump}, {"drift", Question::drift}, {"cycle", Question::cycle}};

constexpr std::string_view kHeader = "sample,inspected,nonconforming[,phase,excluded]";

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

class SampleReader {
 public:
  SampleReader(text::CsvReader& csv, ChartKind kind) : csv_(csv), kind_(kind) {}

  Result<std::vector<ChartSample>> read_all() {
    if (const Status s = find_columns(); !s) return tl::unexpected(s.error());
    std::vector<ChartSample> samples;
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) break;
      Result<ChartSample> sample = read_row();
      if (!sample) return tl::unexpected(sample.error());
      samples.push_back(std::move(*sample));
    }
    if (samples.empty())
      return fail(Category::bad_input, csv_.source() + ": line 2: expected at least one sample");
    return samples;
  }

 private:
  Status find_columns() {
    for (auto& [name, column] : required_) {
      if (name == "inspected" && kind_ == ChartKind::c) continue;
      const Result<std::size_t> found = csv_.require(name, kHeader);
      if (!found) return tl::unexpected(found.error());
      column = *found;
    }
    phase_ = csv_.find("phase");
    excluded_ = csv_.find("excluded");
    return {};
  }

  Result<ChartSample> read_row() {
    ChartSample sample;
    const Result<std::string_view> name = csv_.name(required_.at("sample"));
    if (!name) return tl::unexpected(name.error());
    sample.name = *name;
    const Result<std::int64_t> found = csv_.count(required_.at("nonconforming"));
    if (!found) return tl::unexpected(found.error());
    sample.nonconforming = *found;
    if (kind_ != ChartKind::c) {
      const Result<std::int64_t> inspected = csv_.count(required_.at("inspected"));
      if (!inspected) return tl::unexpected(inspected.error());
      sample.inspected = *inspected;
    }
    if (const Status s = check_counts(sample); !s) return tl::unexpected(s.error());
    for (const auto& [column, text] :
         {std::pair{phase_, &sample.phase}, {excluded_, &sample.excluded}}) {
      if (!column || csv_.blank(*column)) continue;
      const Result<std::string_view> words = csv_.name(*column);
      if (!words) return tl::unexpected(words.error());
      *text = *words;
    }
    return sample;
  }

  Status check_counts(const ChartSample& sample) {
    const bool units =
        kind_ == ChartKind::p || kind_ == ChartKind::np || kind_ == ChartKind::p_prime;
    const std::int64_t most = units ? sample.inspected : INT64_MAX;
    const bool from_nothing =
        kind_ != ChartKind::c && sample.inspected == 0 && sample.nonconforming > 0;
    if (sample.nonconforming <= most && !from_nothing) return {};
    return csv_.expected(
        required_.at("nonconforming"),
        fmt::format("at most the {} inspected, found {}", sample.inspected, sample.nonconforming));
  }

  text::CsvReader& csv_;
  ChartKind kind_;
  std::map<std::string, std::size_t, std::less<>> required_ = {
      {"sample", 0}, {"inspected", 0}, {"nonconforming", 0}};
  std::optional<std::size_t> phase_;
  std::optional<std::size_t> excluded_;
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
  Result<text::CsvReader> csv = text::CsvReader::open(command.file);
  if (!csv) return tl::unexpected(csv.error());
  const Result<std::vector<ChartSample>> samples = SampleReader(*csv, options.kind).read_all();
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
