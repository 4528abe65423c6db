// SPDX-License-Identifier: Apache-2.0
// lastlook concession: a named, limited permission to let units pass with a known finding
// (ISO 9000).
#include <fmt/format.h>

#include <memory>
#include <optional>

#include "kiosk/commands/approver.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/commands/whereabouts.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/domain/unit_record.h"
#include "kiosk/records/tables.h"

namespace lastlook::commands {
namespace {

struct ConcessionCommand {
  std::string dir, by, last_day;
  domain::ConcessionGranted grant;
  StationSource source;
  bool json = false;
};

int grant(const ConcessionCommand& command) {
  domain::ConcessionGranted granted = command.grant;
  const auto expires =
      domain::end_of_day(command.last_day, domain::SystemClock().read().offset_min);
  if (!expires)
    return report(
        {Category::bad_input,
         fmt::format("--last-day: expected a date as 2026-12-31, not '{}'", command.last_day)});
  granted.expires_us = *expires;
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status may = check_approver(command.dir, command.by); !may) return report(may.error());
  const Status kept = handle_approved(
      **records, flows::GrantConcession{granted, command.by},
      "only a quality engineer grants a concession",
      {{"concession_number_used",
        fmt::format("the number {} stands for another concession already", granted.number)}});
  if (!kept) return report(kept.error());
  const Json json = {
      {"number", granted.number}, {"quantity", granted.quantity}, {"last_day", command.last_day}};
  fmt::print("{}\n", command.json
                         ? json.dump(2)
                         : fmt::format("concession {} holds for {} units at this station, "
                                       "until the end of {}",
                                       granted.number, granted.quantity, command.last_day));
  return done;
}

std::string state_of(const records::ConcessionRow& row, std::int64_t now_us) {
  const domain::Concession concession{{row.number, row.authority, row.variant, row.component,
                                       row.defect, row.quantity, row.expires_us},
                                      row.used};
  const auto state = concession.state(now_us);
  return state == domain::ConcessionState::used_up ? "used up" : std::string(to_word(state));
}

int list(const ConcessionCommand& command) {
  if (const Status s = check_source(command.source); !s) return report(s.error());
  const auto source = open_source(command.source);
  if (!source) return report(source.error());
  const auto rows = records::rows<records::ConcessionRow>(source->view().store, {});
  if (!rows) return report(rows.error());
  const auto times = LocalTimes::of(*source);
  if (!times) return report(times.error());
  const std::int64_t now_us = domain::SystemClock().read().wall_us;
  Json json = {{"concessions", Json::array()}};
  TextTable table("llllllrrl");
  table.row({"number", "station", "authority", "variant", "component", "defect", "used", "of",
             "last minute", ""});
  for (const records::ConcessionRow& row : *rows) {
    const std::string state = state_of(row, now_us);
    json["concessions"].push_back({{"number", row.number},
                                   {"station", row.station},
                                   {"authority", row.authority},
                                   {"variant", row.variant},
                                   {"component", row.component},
                                   {"defect", row.defect},
                                   {"used", row.used},
                                   {"quantity", row.quantity},
                                   {"expires", times->iso(row.station, row.expires_us)},
                                   {"state", state}});
    table.row({row.number, row.station, row.authority, row.variant, row.component, row.defect,
               std::to_string(row.used), std::to_string(row.quantity),
               times->minute(row.station, row.expires_us - 1), state});
  }
  add_as_of(json, *source);
  Reply reply("Which permissions are there?");
  if (json["concessions"].empty())
    reply.add("none was granted");
  else
    reply.add(std::move(table));
  add_as_of(reply, *source);
  fmt::print("{}", command.json ? json.dump(2) + "\n" : reply.text());
  return done;
}

void add_grant(CLI::App* app, Program& program, const std::shared_ptr<ConcessionCommand>& command) {
  CLI::App* one = app->add_subcommand(
      "grant", "Lets so many units of a variant pass with one known finding, until a day");
  domain::ConcessionGranted& grant_it = command->grant;
  one->add_option("NUMBER", grant_it.number, "Unlike any other")->required();
  one->add_option("--authority", grant_it.authority, "Who permits it")->required();
  one->add_option("--variant", grant_it.variant, "By its id")->required();
  one->add_option("--component", grant_it.component, "By its id")->required();
  one->add_option("--defect", grant_it.defect, "Of the catalogue, by its id")->required();
  one->add_option("--quantity", grant_it.quantity, "Of units, at this station")->required();
  one->add_option("--last-day", command->last_day, "On which it holds, 2026-12-31")->required();
  one->add_option("--dir", command->dir, "The station's folder")->required();
  one->add_option("--approved-by", command->by,
                  "Id of the quality engineer, whose PIN is read from standard input")
      ->required();
  one->add_flag("--json", command->json, "Writes JSON");
  one->footer(
      "A unit let pass so is never right at the first look, and its finding stays on record.\n"
      "Example: lastlook concession grant D-17 --authority 'customer quality' --variant CP-210 "
      "--component lid --defect dirty --quantity 50 --last-day 2026-12-31 --dir station "
      "--approved-by p-58f6a1c2");
  one->callback([&program, command] { program.exit_code = grant(*command); });
}

}  // namespace

void add_concession(Program& program) {
  CLI::App* app = program.app.add_subcommand(
      "concession", "Permissions to let units pass with a known finding, each with its limits");
  app->require_subcommand(1);
  const auto command = std::make_shared<ConcessionCommand>();
  add_grant(app, program, command);
  CLI::App* one = app->add_subcommand("list", "All of them, with what is used and until when");
  auto* dir = one->add_option("--dir", command->source.dir, "The station's folder");
  one->add_option("--plant", command->source.plant, "A plant's store")->excludes(dir);
  one->add_flag("--json", command->json, "Writes JSON");
  one->footer("Example: lastlook concession list --plant sqlite:plant.db");
  one->callback([&program, command] { program.exit_code = list(*command); });
}

}  // namespace lastlook::commands
