// SPDX-License-Identifier: Apache-2.0
// lastlook escapes: what blind second looks prove about the units that were let pass.
#include <fmt/format.h>

#include <optional>

#include "analytics/escape_chart.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/field_escapes.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/second_looks.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

constexpr std::string_view kHeader = "unit,first,second[,probability,period]";

struct EscapesCommand {
  std::string file;
  StationSource station;
  OpenSource records;
  std::string each = "week";
  std::string good = "accept";
  bool good_is_given = false;
  BootstrapOptions resampling;
  Delivery delivery;
};

struct Looks {
  std::vector<SecondLook> all;
  bool with_probability = false;
  std::optional<SecondLooks> records;  // where they come from
  std::optional<FieldEscapes> field;   // of the same records
};

class LookReader {
 public:
  LookReader(text::CsvReader& csv, const EscapesCommand& command)
      : csv_(csv), good_(command.good), must_find_good_(command.good_is_given) {}

  Result<Looks> read_all() {
    std::vector<std::size_t> columns;
    for (const char* name : {"unit", "first", "second"}) {
      const Result<std::size_t> column = csv_.require(name, kHeader);
      if (!column) return tl::unexpected(column.error());
      columns.push_back(*column);
    }
    probability_ = csv_.find("probability");
    period_ = csv_.find("period");
    Looks looks;
    looks.with_probability = probability_.has_value();
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) break;
      Result<SecondLook> look = read_row(columns);
      if (!look) return tl::unexpected(look.error());
      looks.all.push_back(std::move(*look));
    }
    // A slip of the keyboard must not make every decision a reject.
    if (must_find_good_ && !found_good_ && !looks.all.empty())
      return csv_.expected_in_row(
          fmt::format("a decision '{}' (--good) in first or second up to here, found none", good_));
    return looks;
  }

 private:
  Result<SecondLook> read_row(const std::vector<std::size_t>& columns) {
    SecondLook look;
    if (const auto unit = csv_.name(columns[0]); !unit) return tl::unexpected(unit.error());
    for (const auto& [column, rejects] :
         {std::pair{columns[1], &look.first_rejects}, {columns[2], &look.second_rejects}}) {
      const Result<std::string_view> words = csv_.name(column);
      if (!words) return tl::unexpected(words.error());
      *rejects = *words != good_;
      found_good_ = found_good_ || !*rejects;
    }
    if (period_ && !csv_.blank(*period_)) look.period = *csv_.name(*period_);
    if (!probability_) return look;
    const Result<double> probability = csv_.number(*probability_);
    if (!probability) return tl::unexpected(probability.error());
    if (!(*probability > 0 && *probability <= 1)) {
      return csv_.expected(*probability_,
                           fmt::format("more than 0 and at most 1, found {}", *probability));
    }
    look.probability = *probability;
    return look;
  }

  text::CsvReader& csv_;
  const std::string& good_;
  bool must_find_good_;
  bool found_good_ = false;
  std::optional<std::size_t> probability_;
  std::optional<std::size_t> period_;
};

Result<Looks> station_looks(const EscapesCommand& command) {
  auto looks = done_second_looks(command.records.view(), command.station.period);
  if (!looks) return tl::unexpected(looks.error());
  auto field = field_escapes(command.records.view(), command.station.period);
  if (!field) return tl::unexpected(field.error());
  std::vector<SecondLook> all = as_second_looks(looks->done, command.each);
  return Looks{std::move(all), true, *std::move(looks), *std::move(field)};
}

Result<Looks> read_looks(const EscapesCommand& command) {
  if (command.station.is_given()) return station_looks(command);
  Result<text::CsvReader> csv = text::CsvReader::open(command.file);
  if (!csv) return tl::unexpected(csv.error());
  return LookReader(*csv, command).read_all();
}

Result<double> value_or_reason(const Looks& looks, const TwoJudgements& agreement) {
  if (looks.with_probability) return agreement.kappa;
  return fail(Category::refused, "no column probability, so what the looks stand for is not known");
}

// `period` is empty for all of them together.
Json escapes_json(const Escapes& e, const std::string& period, Notes& notes) {
  Json out = {{"escapes", e.escapes}, {"accepted", e.accepted}};
  out["rate"] = notes.value(e.rate, period, "rate");
  notes.limits(out, "", e.limits, period);
  out["at_most"] = notes.value(e.at_most, period, "at_most");
  if (e.weighed()) {
    out["probabilities"] = {e.least_probability, e.most_probability};
    notes.undefined(period, "rate",
                    "units were drawn at different rates, so each counts by 1 / its rate");
  }
  return out;
}

Json as_json(const Looks& looks, const std::vector<RunningEscapes>& periods,
             const TwoJudgements& agreement) {
  Notes notes;
  Json out = escapes_json(escapes_of(looks.all), "", notes);
  if (looks.records) out["second_looks"] = drawn_json(*looks.records);
  if (looks.field) out["field"] = as_json(*looks.field);
  const Result<double> kappa = value_or_reason(looks, agreement);
  out["kappa"] = notes.value(kappa, "", "kappa");
  notes.limits(out, "kappa_", kappa ? agreement.limits : tl::unexpected(kappa.error()), "");
  out["units"] = notes.value(kappa, "", "units", [&](double) { return Json(agreement.units); });
  out["periods"] = Json::array();
  for (const RunningEscapes& p : periods) {
    Json row = {{"period", p.period}};
    row.update(escapes_json(p.alone, p.period, notes));
    row["running_rate"] = notes.value(p.running.rate, p.period, "running_rate");
    row["running_at_most"] = notes.value(p.running.at_most, p.period, "running_at_most");
    out["periods"].push_back(std::move(row));
  }
  out["notes"] = notes.list();
  return out;
}

Reply as_reply(const Looks& looks, const std::vector<RunningEscapes>& periods,
               const TwoJudgements& agreement) {
  Reply reply("What was let pass?");
  const auto percent = [](const Result<double>& share) {
    return share ? fmt::format("{:.1f} %", 100 * *share) : "-";
  };
  TextTable table("lrrrrr");
  table.row({"period", "escapes", "accepted", "rate", "so far", "at most"});
  for (const RunningEscapes& p : periods) {
    table.row({p.period, std::to_string(p.alone.escapes), std::to_string(p.alone.accepted),
               percent(p.alone.rate), percent(p.running.rate), percent(p.running.at_most)});
  }
  if (periods.size() > 1) reply.add(std::move(table));
  if (looks.records) reply.add(drawn_in_words(*looks.records));
  reply.add(in_a_sentence(escapes_of(looks.all)));
  if (looks.field) reply.add(in_a_sentence(*looks.field));
  const Result<double> kappa = value_or_reason(looks, agreement);
  if (!kappa) {
    reply.add("kappa: " + kappa.error().message);
  } else {
    reply.add(fmt::format(
        "kappa of first and second look: {:.3f} ({:.3f} to {:.3f}), estimated for the "
        "{:.0f} units that the {} looked at twice stand for",
        *kappa, agreement.limits->low, agreement.limits->high, agreement.units, looks.all.size()));
  }
  return reply;
}

int escapes(const CLI::App& app, EscapesCommand& command) {
  Status source = check_source(command.file, command.station);
  if (source) source = check_options(app, command.station, {"--each"}, {"--good"});
  if (source) source = open_where_given(command.station, command.records);
  if (!source) return report(source.error());
  command.good_is_given = app.count("--good") > 0;
  const Result<Looks> looks = read_looks(command);
  if (!looks) return report(looks.error());
  const std::vector<RunningEscapes> periods = running_escapes(looks->all);
  const TwoJudgements agreement = weighted_agreement(looks->all, command.resampling);
  const WideSansMeasure measure;
  Reply reply = as_reply(*looks, periods, agreement);
  add_as_of(reply, command.records);
  reply.made_from_file(command.file);
  const Status said = deliver(
      command.delivery, reply,
      [&] {
        Json json = as_json(*looks, periods, agreement);
        add_as_of(json, command.records);
        return json;
      },
      [&] {
        return escape_chart(periods, {800, 450, 14, "What was let pass?"}, measure);
      });
  return said ? done : report(said.error());
}

}  // namespace

void add_escapes(Program& program) {
  auto command = std::make_shared<EscapesCommand>();
  CLI::App* app = program.app.add_subcommand(
      "escapes", "Says what blind second looks prove about the units that were let pass");
  add_source(app, command->file, command->station,
             "CSV with the columns unit,first,second[,probability,period]: both decisions, "
             "the probability with which the unit was drawn, the day or shift");
  app->add_option(
         "--each", command->each,
         "With --dir or --plant: what a point of the time chart is, by the first look's date")
      ->check(CLI::IsMember({"day", "week", "shift"}))
      ->capture_default_str();
  app->add_option("--good", command->good,
                  "With FILE: the decision that means accepted; others reject")
      ->capture_default_str();
  add_resampling(app, command->resampling);
  add_delivery(app, command->delivery, "Writes JSON; rates are fractions");
  app->footer(
      "Examples:\n"
      "  lastlook escapes second-looks.csv --svg escapes.svg\n"
      "  lastlook escapes --dir station --from 2026-11-02 --each day");
  app->callback([&program, command, app] { program.exit_code = escapes(*app, *command); });
}

}  // namespace lastlook::commands
