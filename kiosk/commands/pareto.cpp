// SPDX-License-Identifier: Apache-2.0
// lastlook pareto: what went wrong most, from a table of findings.

#include <fmt/format.h>

#include <map>

#include "analytics/pareto_chart.h"
#include "analytics/svg.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using analytics::ParetoCounter;
using analytics::ParetoRow;
using analytics::ParetoTable;

constexpr std::string_view kHeader =
    "defect,count[,severity,cost], or defect alone with one finding a row";

struct ParetoCommand {
  std::string file;
  std::string by = "count";
  std::string weights = "critical=10,major=3,minor=1";
  std::vector<std::string> rest;
  std::string svg;
  double few_percent = 80;
  bool json = false;
};

using SeverityWeights = std::map<std::string, double, std::less<>>;

// "critical=10,major=3" as a map.
Result<SeverityWeights> parse_weights(const std::string& text) {
  SeverityWeights weights;
  for (const std::string& part : CLI::detail::split(text, ',')) {
    const auto equals = part.find('=');
    double value = 0;
    if (equals == std::string::npos || equals == 0 ||
        !CLI::detail::lexical_cast(part.substr(equals + 1), value) || !(value >= 0)) {
      return fail(Category::bad_input,
                  fmt::format("--weights: '{}', expected SEVERITY=NUMBER of 0 or more", part));
    }
    weights[part.substr(0, equals)] = value;
  }
  return weights;
}

class FindingReader {
 public:
  FindingReader(text::CsvReader& csv, const ParetoCommand& command, SeverityWeights weights)
      : csv_(csv), command_(command), weights_(std::move(weights)) {}

  Status find_columns() {
    const Result<std::size_t> defect = csv_.require("defect", kHeader);
    if (!defect) return tl::unexpected(defect.error());
    defect_ = *defect;
    if (csv_.find("count")) {
      const Result<std::size_t> count = csv_.require("count", kHeader);
      if (!count) return tl::unexpected(count.error());
      count_ = *count;
    }
    if (command_.by == "count") return {};
    const Result<std::size_t> weight = csv_.require(command_.by, kHeader);
    if (!weight) return tl::unexpected(weight.error());
    weight_ = *weight;
    return {};
  }

  Result<ParetoCounter> read_all() {
    ParetoCounter counter;
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) return counter;
      if (const Status s = read_row(counter); !s) return tl::unexpected(s.error());
    }
  }

 private:
  Status read_row(ParetoCounter& counter) {
    const Result<std::string_view> defect = csv_.name(defect_);
    if (!defect) return tl::unexpected(defect.error());
    Result<std::int64_t> count = 1;
    if (count_) count = csv_.count(*count_);
    if (!count) return tl::unexpected(count.error());
    const Result<double> weight = weight_ ? weight_of(*weight_) : Result<double>(1.0);
    if (!weight) return tl::unexpected(weight.error());
    counter.add(*defect, *count, *weight);
    return {};
  }

  // A number is the weight itself; a word is looked up.
  Result<double> weight_of(std::size_t column) {
    if (command_.by == "cost") return csv_.number(column);
    const Result<std::string_view> severity = csv_.name(column);
    if (!severity) return tl::unexpected(severity.error());
    const auto found = weights_.find(*severity);
    if (found != weights_.end()) return found->second;
    if (const Result<double> number = csv_.number(column)) return *number;
    return csv_.expected(column, fmt::format("a severity of {} or a number, found '{}'",
                                             command_.weights, *severity));
  }

  text::CsvReader& csv_;
  const ParetoCommand& command_;
  SeverityWeights weights_;
  std::size_t defect_ = 0;
  std::optional<std::size_t> count_;
  std::optional<std::size_t> weight_;
};

Result<ParetoTable> read_table(const ParetoCommand& command) {
  Result<SeverityWeights> weights = parse_weights(command.weights);
  if (!weights) return tl::unexpected(weights.error());
  Result<text::CsvReader> csv = text::CsvReader::open(command.file);
  if (!csv) return tl::unexpected(csv.error());
  FindingReader reader(*csv, command, std::move(*weights));
  if (const Status s = reader.find_columns(); !s) return tl::unexpected(s.error());
  const auto& rest = command.rest.empty() ? ParetoCounter::default_rest_names() : command.rest;
  return reader.read_all().map(
      [&](const ParetoCounter& counter) { return counter.table(rest, command.few_percent); });
}

Json as_json(const ParetoTable& table, const ParetoCommand& command) {
  Json rows = Json::array();
  for (const ParetoRow& row : table.rows) {
    Json out = {{"rank", row.rank},
                {"defect", row.name},
                {"count", row.count},
                {"percent", row.percent},
                {"cumulative_percent", row.cumulative_percent},
                {"few", row.few}};
    if (command.by != "count") out["value"] = row.value;
    rows.push_back(std::move(out));
  }
  Json out = {{"total", table.total}, {"by", command.by}, {"few_rule", table.few_rule}};
  if (command.by != "count") out["total_value"] = table.total_value;
  out["rows"] = std::move(rows);
  return out;
}

std::string as_text(const ParetoTable& table, const ParetoCommand& command) {
  if (table.rows.empty()) return "no findings\n";
  const bool weighted = command.by != "count";
  TextTable text(weighted ? "rlrrrrl" : "rlrrrl");
  std::vector<std::string> head = {"", "defect", "count"};
  if (weighted) head.push_back(command.by);
  head.insert(head.end(), {"percent", "running", ""});
  text.row(head);
  for (const ParetoRow& row : table.rows) {
    std::vector<std::string> cells = {std::to_string(row.rank), row.name,
                                      std::to_string(row.count)};
    if (weighted) cells.push_back(fmt::format("{:g}", row.value));
    cells.insert(cells.end(),
                 {fmt::format("{:.1f} %", row.percent),
                  fmt::format("{:.1f} %", row.cumulative_percent), row.few ? "few" : ""});
    text.row(cells);
  }
  return text.text() + fmt::format("{} findings; {}\n", table.total, table.few_rule);
}

Status draw(const ParetoTable& table, const ParetoCommand& command) {
  if (command.svg.empty()) return {};
  analytics::ParetoChartOptions options;
  options.frame.title = "What went wrong most";
  if (command.by != "count") options.frame.title += ", by " + command.by;
  options.frame.height =
      std::clamp(110.0 + 40.0 * static_cast<double>(table.rows.size()), 230.0, 900.0);
  const analytics::WideSansMeasure measure;
  return write_text_file(command.svg, to_svg(pareto_chart(table, options, measure)));
}

int pareto(const ParetoCommand& command) {
  const Result<ParetoTable> table = read_table(command);
  if (!table) return report(table.error());
  if (const Status s = draw(*table, command); !s) return report(s.error());
  fmt::print("{}",
             command.json ? as_json(*table, command).dump(2) + "\n" : as_text(*table, command));
  return done;
}

}  // namespace

void add_pareto(Program& program) {
  auto command = std::make_shared<ParetoCommand>();
  CLI::App* app =
      program.app.add_subcommand("pareto", "Says what went wrong most, from a table of findings");
  app->add_option("FILE", command->file,
                  "CSV with the columns defect,count[,severity,cost], or one defect a row")
      ->required();
  app->add_option("--by", command->by, "What orders the kinds; cost is that of one finding")
      ->check(CLI::IsMember({"count", "severity", "cost"}))
      ->capture_default_str();
  app->add_option(
         "--weights", command->weights,
         "What a severity counts, for --by severity; a severity that is a number counts itself")
      ->capture_default_str();
  app->add_option("--few", command->few_percent, "Percent that the few must reach together")
      ->check(CLI::Range(1.0, 100.0))
      ->capture_default_str();
  app->add_option("--rest", command->rest,
                  "Names that are no kind and stand last (default: other, something else, ...)");
  app->add_option("--svg", command->svg, "Draws the chart into this file");
  app->add_flag("--json", command->json, "Writes JSON; percents are 0 to 100");
  app->footer("Example:\n  lastlook pareto findings.csv --by severity --json");
  app->callback([&program, command] { program.exit_code = pareto(*command); });
}

}  // namespace lastlook::commands
