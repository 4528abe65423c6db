// SPDX-License-Identifier: Apache-2.0
// lastlook pareto: what went wrong most, and what really changed since another period.
#include <fmt/format.h>

#include "analytics/pareto_chart.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/pareto_compare.h"
#include "kiosk/commands/station_source.h"

namespace lastlook::commands {
namespace {

using analytics::ParetoCounter;
using analytics::ParetoRow;
using analytics::ParetoTable;

struct ParetoCommand {
  std::string file;
  StationSource station;
  OpenSource records;
  FindingQuery query;
  std::string weights = "critical=10,major=3,minor=1";
  std::vector<std::string> where;
  std::vector<std::string> rest;
  std::string counted = "findings";
  double few_percent = 80;
  // The period to compare with: a file, or dates of the same station.
  std::string against;
  records::Period against_period;
  CompareAsk ask;
  Delivery delivery;

  bool compares() const { return !against.empty() || !against_period.from.empty(); }
};

// COLUMN=VALUE as pairs.
Status parse_where(ParetoCommand& command) {
  for (const std::string& part : command.where) {
    const auto equals = part.find('=');
    if (equals == std::string::npos || equals == 0)
      return fail(Category::bad_input, fmt::format("--where: '{}', expected COLUMN=VALUE", part));
    const std::string column = part.substr(0, equals);
    if (!command.query.where.try_emplace(column, part.substr(equals + 1)).second)
      return fail(Category::bad_input,
                  fmt::format("--where: '{}' twice, expected each column once", column));
  }
  return {};
}

Status check_usage(ParetoCommand& command) {
  if (const Status s = check_source(command.file, command.station); !s) return s;
  if (const Status s = parse_where(command); !s) return s;
  Result<SeverityWeights> weights = parse_weights(command.weights);
  if (!weights) return tl::unexpected(weights.error());
  command.query.weights = std::move(*weights);
  command.query.weights_text = command.weights;
  command.ask.units = command.counted == "units";
  command.ask.batches = !command.query.batch.empty();
  const bool innermost = command.query.kinds == std::vector<std::string>{"component", "defect"};
  if (command.ask.units && command.station.is_given() && !innermost) {
    return fail(Category::bad_input,
                "--counted units: the records know units for --kinds component,defect only, for a "
                "unit may have several findings");
  }
  if (!command.compares()) return {};
  if (command.against.empty() != command.station.is_given())
    return fail(
        Category::bad_input,
        "expected FILE with --against, or --dir or --plant with --against-from and --against-to");
  if (const Status s = check_dates(command.against_period, "--against-from", "--against-to"); !s)
    return s;
  if (command.query.by != "count")
    return fail(Category::bad_input, "--against compares counts: expected --by count");
  if (command.ask.units && command.ask.batches)
    return fail(Category::bad_input,
                "--batch compares the mix of findings: expected --counted findings");
  if (command.ask.units && !command.file.empty() &&
      (command.ask.inspected < 1 || command.ask.inspected_before < 1)) {
    return fail(Category::bad_input,
                "--counted units: expected --inspected and --against-inspected, the units of both");
  }
  return {};
}

// What would change nothing is refused.
Status check_effect(const CLI::App& app, const ParetoCommand& command) {
  const bool compares = command.compares();
  Status s = check_options(app, command.station, {}, {"--inspected", "--against-inspected"});
  if (s)
    s = check_options(app, command.query.by == "severity", "with --by severity", {"--weights"});
  if (s)
    s = check_options(app, !compares, "without --against, which compares all kinds",
                      {"--few", "--rest"});
  if (s)
    s = check_options(app, compares, "with --against or --against-from", {"--batch", "--correct"});
  if (s)
    s = check_options(app, compares && command.ask.units, "with --against and --counted units",
                      {"--inspected", "--against-inspected"});
  if (s)
    s = check_options(app, command.ask.batches, "with --batch, whose batches are resampled",
                      {"--seed"});
  return s;
}

Status read_period(const ParetoCommand& command, const std::string& file,
                   const records::Period& period, std::int64_t& inspected, const OnFinding& each) {
  if (!command.station.is_given()) return read_findings(file, command.query, each);
  const records::View view = command.records.view();
  const auto looks = records::look_counts(view, period);
  if (!looks) return tl::unexpected(looks.error());
  inspected = looks->first_looks;
  return station_findings(view, period, command.query, command.ask.units, each);
}

Result<ParetoTable> read_table(ParetoCommand& command) {
  ParetoCounter counter;
  const std::size_t levels = command.query.kinds.size();
  std::string name;
  const Status read =
      read_period(command, command.file, command.station.period, command.ask.inspected,
                  [&](const Finding& finding) {
                    if (levels == 1) {
                      counter.add(finding.kinds[0], finding.count, finding.weight);
                    } else {
                      counter.add(nested_name(finding, levels), finding.count, finding.weight);
                    }
                  });
  if (!read) return tl::unexpected(read.error());
  const auto& rest = command.rest.empty() ? ParetoCounter::default_rest_names() : command.rest;
  return counter.table(rest, command.few_percent);
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
    if (command.query.by != "count") out["value"] = row.value;
    rows.push_back(std::move(out));
  }
  Json out = {{"total", table.total},
              {"counted", command.counted},
              {"by", command.query.by},
              {"few_rule", table.few_rule}};
  if (command.query.by != "count") out["total_value"] = table.total_value;
  out["rows"] = std::move(rows);
  add_as_of(out, command.records);
  return out;
}

Reply as_reply(const ParetoTable& table, const ParetoCommand& command) {
  Reply reply("What went wrong most");
  reply.made_from_file(command.file);
  if (table.rows.empty()) {
    reply.add("no " + command.counted);
    add_as_of(reply, command.records);
    return reply;
  }
  const bool weighted = command.query.by != "count";
  TextTable text(weighted ? "rlrrrrl" : "rlrrrl");
  std::vector<std::string> head = {"", "defect", "count"};
  if (weighted) head.push_back(command.query.by);
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
  reply.add(std::move(text));
  reply.add(fmt::format("{} {}; {}", table.total, command.counted, table.few_rule));
  add_as_of(reply, command.records);
  return reply;
}

analytics::Chart drawing(const ParetoTable& table, const ParetoCommand& command) {
  analytics::ParetoChartOptions options;
  options.counted = command.counted;
  options.frame.title = "What went wrong most";
  if (command.query.by != "count") options.frame.title += ", by " + command.query.by;
  options.frame.height =
      std::clamp(110.0 + 40.0 * static_cast<double>(table.rows.size()), 230.0, 900.0);
  const analytics::WideSansMeasure measure;
  return pareto_chart(table, options, measure);
}

Status compare_periods(ParetoCommand& command) {
  PeriodCounter now(command.ask.units);
  PeriodCounter before(command.ask.units);
  Status read = read_period(command, command.file, command.station.period, command.ask.inspected,
                            [&](const Finding& finding) { now.add(finding); });
  if (!read) return read;
  records::Period period = command.station.period;
  period.from = command.against_period.from;
  period.to = command.against_period.to;
  read = read_period(command, command.against, period, command.ask.inspected_before,
                     [&](const Finding& finding) { before.add(finding); });
  if (!read) return read;
  const Result<Compared> compared = compare(now, before, command.ask);
  if (!compared) return tl::unexpected(compared.error());
  Reply reply = comparison_reply(*compared, command.ask);
  reply.made_from_file(command.file);
  reply.made_from_file(command.against);
  add_as_of(reply, command.records);
  return deliver(
      command.delivery, reply,
      [&] {
        Json json = comparison_json(*compared, command.ask);
        add_as_of(json, command.records);
        return json;
      },
      [&] { return comparison_drawing(*compared); });
}

Status rank(ParetoCommand& command) {
  const Result<ParetoTable> table = read_table(command);
  if (!table) return tl::unexpected(table.error());
  return deliver(
      command.delivery, as_reply(*table, command), [&] { return as_json(*table, command); },
      [&] { return drawing(*table, command); });
}

int pareto(const CLI::App& app, ParetoCommand& command) {
  Status s = check_usage(command);
  if (s) s = check_effect(app, command);
  if (s) s = open_where_given(command.station, command.records);
  if (s) s = command.compares() ? compare_periods(command) : rank(command);
  return s ? done : report(s.error());
}

void add_comparison(CLI::App* app, ParetoCommand& command) {
  app->add_option("--against", command.against,
                  "Says what changed since this earlier file, corrected for every cell");
  auto* from =
      app->add_option("--against-from", command.against_period.from,
                      "With --dir or --plant: first production date of the earlier period");
  app->add_option("--against-to", command.against_period.to, "Its last production date")
      ->needs(from);
  app->add_option("--batch", command.query.batch,
                  "Column of the batch that findings cluster in: limits by resampling batches");
  app->add_option("--inspected", command.ask.inspected,
                  "With FILE: units of the period, for --counted units");
  app->add_option("--against-inspected", command.ask.inspected_before,
                  "With FILE: units of the earlier period, for --counted units");
  app->add_option("--correct", command.ask.correction,
                  "holm: no false alarm at all; benjamini-hochberg: few of the alarms false")
      ->check(CLI::IsMember({"holm", "benjamini-hochberg"}))
      ->capture_default_str();
  app->add_option("--seed", command.ask.seed, "Of the resamples")->capture_default_str();
}

}  // namespace

void add_pareto(Program& program) {
  auto command = std::make_shared<ParetoCommand>();
  CLI::App* app =
      program.app.add_subcommand("pareto", "Says what went wrong most, from a table of findings");
  add_source(app, command->file, command->station,
             "CSV with the columns defect,count[,severity,cost], or one defect a row");
  app->add_option("--kinds", command->query.kinds,
                  "Columns to rank; several are nested: component,defect. With --dir: component, "
                  "defect, severity, shift, hour, station, variant")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->capture_default_str();
  app->add_option("--where", command->where, "COLUMN=VALUE: only these rows; may be repeated")
      ->allow_extra_args(false);
  app->add_option("--counted", command->counted, "What the counts are of: findings or units")
      ->check(CLI::IsMember({"findings", "units"}))
      ->capture_default_str();
  app->add_option("--by", command->query.by, "What orders the kinds; cost is that of one finding")
      ->check(CLI::IsMember({"count", "severity", "cost"}))
      ->capture_default_str();
  app->add_option(
         "--weights", command->weights,
         "What a severity counts, for --by severity; a severity that is a number counts itself")
      ->capture_default_str();
  app->add_option("--few", command->few_percent, "Percent that the few must reach together")
      ->check(CLI::Range(1.0, 100.0))
      ->capture_default_str();
  app->add_option(
         "--rest", command->rest,
         "A name that is no kind and stands last; may be repeated (default: other, something "
         "else, ...)")
      ->allow_extra_args(false);
  add_comparison(app, *command);
  add_delivery(app, command->delivery, "Writes JSON; percents are 0 to 100");
  app->footer(
      "Examples:\n"
      "  lastlook pareto findings.csv --by severity --json\n"
      "  lastlook pareto november.csv --against october.csv --kinds component,defect\n"
      "  lastlook pareto --dir station --from 2026-11-02 --kinds component,defect --html "
      "page.html");
  app->callback([&program, command, app] { program.exit_code = pareto(*app, *command); });
}

}  // namespace lastlook::commands
