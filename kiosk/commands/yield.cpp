// SPDX-License-Identifier: Apache-2.0
// lastlook yield: right at the first look, step by step and over all steps.
#include "analytics/yield.h"

#include <fmt/format.h>

#include "kiosk/commands/command.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

constexpr std::string_view kHeader = "step,units,right[,defects,opportunities]";

struct YieldCommand {
  std::string file;
  StationSource station;
  OpenSource records;
  Delivery delivery;
};

struct Step {
  std::string name;
  Rate first_pass;
  std::optional<DefectRates> defects;
};

class StepReader {
 public:
  explicit StepReader(text::CsvReader& csv) : csv_(csv) {}

  Result<std::vector<Step>> read_all() {
    for (const auto& [name, column] :
         {std::pair{"step", &name_}, {"units", &units_}, {"right", &right_}}) {
      const Result<std::size_t> found = csv_.require(name, kHeader);
      if (!found) return tl::unexpected(found.error());
      *column = *found;
    }
    defects_ = csv_.find("defects");
    opportunities_ = csv_.find("opportunities");
    std::vector<Step> steps;
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) break;
      Result<Step> step = read_row();
      if (!step) return tl::unexpected(step.error());
      steps.push_back(std::move(*step));
    }
    if (steps.empty()) return csv_.expected_in_row("at least one step");
    return steps;
  }

 private:
  Result<Step> read_row() const {
    Step step;
    const Result<std::string_view> name = csv_.name(name_);
    if (!name) return tl::unexpected(name.error());
    step.name = *name;
    const Result<std::int64_t> units = csv_.count(units_);
    if (!units) return tl::unexpected(units.error());
    if (*units == 0) return csv_.expected(units_, "at least one unit");
    const Result<std::int64_t> right = csv_.count(right_);
    if (!right) return tl::unexpected(right.error());
    if (*right > *units)
      return csv_.expected(right_, fmt::format("at most the {} units, found {}", *units, *right));
    step.first_pass = *first_pass_yield(*right, *units);
    if (!defects_ || csv_.blank(*defects_)) return step;
    const Result<std::int64_t> defects = csv_.count(*defects_);
    if (!defects) return tl::unexpected(defects.error());
    Result<std::int64_t> opportunities = 1;
    if (opportunities_ && !csv_.blank(*opportunities_)) opportunities = csv_.count(*opportunities_);
    if (!opportunities) return tl::unexpected(opportunities.error());
    if (*opportunities == 0) return csv_.expected(*opportunities_, "at least one opportunity");
    step.defects = *defect_rates(*defects, *units, *opportunities);
    return step;
  }

  text::CsvReader& csv_;
  std::size_t name_ = 0;
  std::size_t units_ = 0;
  std::size_t right_ = 0;
  std::optional<std::size_t> defects_;
  std::optional<std::size_t> opportunities_;
};

// The station as one step: first looks, and what was found.
Result<std::vector<Step>> station_step(const StationSource& source, const OpenSource& records) {
  const records::View view = records.view();
  const auto looks = records::look_counts(view, source.period);
  if (!looks) return tl::unexpected(looks.error());
  if (looks->first_looks == 0)
    return fail(Category::refused, source.name() + ": no finished first look in this period");
  std::int64_t findings = 0;
  FindingQuery query;
  const Status read = station_findings(view, source.period, query, false,
                                       [&](const Finding& f) { findings += f.count; });
  if (!read) return tl::unexpected(read.error());
  Step step{records.name(), *first_pass_yield(looks->first_pass, looks->first_looks),
            *defect_rates(findings, looks->first_looks)};
  return std::vector<Step>{std::move(step)};
}

Result<std::vector<Step>> read_steps(YieldCommand& command) {
  Status s = check_source(command.file, command.station);
  if (s) s = open_where_given(command.station, command.records);
  if (!s) return tl::unexpected(s.error());
  if (command.station.is_given()) return station_step(command.station, command.records);
  Result<text::CsvReader> csv = text::CsvReader::open(command.file);
  if (!csv) return tl::unexpected(csv.error());
  return StepReader(*csv).read_all();
}

RolledYield rolled_first_pass(const std::vector<Step>& steps) {
  std::vector<StepYield> yields;
  for (const Step& step : steps) yields.push_back({step.first_pass.value, step.first_pass.limits});
  return *rolled_yield(yields);
}

// Where every step counted its defects.
std::optional<RolledYield> rolled_throughput(const std::vector<Step>& steps) {
  std::vector<StepYield> yields;
  for (const Step& step : steps) {
    if (!step.defects) return std::nullopt;
    yields.push_back({step.defects->throughput_yield, step.defects->throughput_yield_limits});
  }
  return *rolled_yield(yields);
}

Json rolled_json(const RolledYield& rolled, const std::string& where, Notes& notes) {
  Json out = {{"yield", rolled.value}};
  notes.limits(out, "", rolled.limits, where);
  return out;
}

Json as_json(const std::vector<Step>& steps, const OpenSource& records) {
  Notes notes;
  Json rows = Json::array();
  for (const Step& step : steps) {
    Json out = {{"step", step.name},
                {"units", step.first_pass.units},
                {"right", step.first_pass.hits},
                {"first_pass", step.first_pass.value},
                {"low", step.first_pass.limits.low},
                {"high", step.first_pass.limits.high}};
    if (step.defects) {
      const DefectRates& d = *step.defects;
      out.update(Json{{"dpu", d.per_unit},
                      {"dpu_low", d.per_unit_limits.low},
                      {"dpu_high", d.per_unit_limits.high},
                      {"dpmo", d.per_million},
                      {"dpmo_low", d.per_million_limits.low},
                      {"dpmo_high", d.per_million_limits.high},
                      {"throughput", d.throughput_yield},
                      {"throughput_low", d.throughput_yield_limits.low},
                      {"throughput_high", d.throughput_yield_limits.high}});
    }
    rows.push_back(std::move(out));
  }
  Json out = {{"steps", std::move(rows)}};
  out["rolled_first_pass"] = rolled_json(rolled_first_pass(steps), "rolled_first_pass", notes);
  const std::optional<RolledYield> throughput = rolled_throughput(steps);
  out["rolled_throughput"] =
      throughput ? rolled_json(*throughput, "rolled_throughput", notes) : Json(nullptr);
  if (!throughput) notes.add("rolled_throughput: not every step has its defects");
  out["notes"] = notes.list();
  add_as_of(out, records);
  return out;
}

std::string percents(double value, const Interval& limits) {
  return fmt::format("{:.2f} % ({:.2f} to {:.2f})", 100 * value, 100 * limits.low,
                     100 * limits.high);
}

std::string rolled_words(const RolledYield& rolled) {
  return rolled.limits
             ? percents(rolled.value, *rolled.limits)
             : fmt::format("{:.2f} %; {}", 100 * rolled.value, rolled.limits.error().message);
}

Reply as_reply(const std::vector<Step>& steps, const OpenSource& records) {
  Reply reply("Right at the first look");
  TextTable table("lrrrrr");
  table.row({"step", "units", "first-pass, 95 % limits", "DPU", "DPMO", "throughput"});
  for (const Step& step : steps) {
    std::vector<std::string> cells = {step.name, std::to_string(step.first_pass.units),
                                      percents(step.first_pass.value, step.first_pass.limits)};
    if (step.defects) {
      const DefectRates& d = *step.defects;
      cells.insert(cells.end(),
                   {fmt::format("{:.4f}", d.per_unit), fmt::format("{:.0f}", d.per_million),
                    percents(d.throughput_yield, d.throughput_yield_limits)});
    } else {
      cells.insert(cells.end(), {"-", "-", "-"});
    }
    table.row(cells);
  }
  reply.add(std::move(table));
  reply.add("rolled first-pass yield: " + rolled_words(rolled_first_pass(steps)));
  if (const auto throughput = rolled_throughput(steps))
    reply.add("rolled throughput yield: " + rolled_words(*throughput));
  add_as_of(reply, records);
  return reply;
}

int yield(YieldCommand& command) {
  const Result<std::vector<Step>> steps = read_steps(command);
  if (!steps) return report(steps.error());
  Reply reply = as_reply(*steps, command.records);
  reply.made_from_file(command.file);
  const Status said =
      deliver(command.delivery, reply, [&] { return as_json(*steps, command.records); });
  return said ? done : report(said.error());
}

}  // namespace

void add_yield(Program& program) {
  auto command = std::make_shared<YieldCommand>();
  CLI::App* app = program.app.add_subcommand(
      "yield", "Says how many units are right at the first look, over one step or all");
  add_source(app, command->file, command->station,
             "CSV with the columns step,units,right[,defects,opportunities]: units with a finished "
             "first look, those right at once, defects found, opportunities a unit");
  add_pages(app, command->delivery);
  app->add_flag("--json", command->delivery.json, "Writes JSON; yields are fractions");
  app->footer("Examples:\n  lastlook yield steps.csv\n  lastlook yield --dir station --json");
  app->callback([&program, command] { program.exit_code = yield(*command); });
}

}  // namespace lastlook::commands
