// SPDX-License-Identifier: Apache-2.0
// lastlook claim: units that came back from the field, and whether the last look ought to have seen
// why.
#include <fmt/format.h>

#include <memory>

#include "kiosk/commands/approver.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/field_escapes.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/records/unit_queries.h"

namespace lastlook::commands {
namespace {

struct ClaimCommand {
  std::string dir, by, verdict;
  domain::ClaimOpened opened;
  domain::ClaimJudged judged;
  StationSource source;
  bool json = false;
};

void say(const ClaimCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

// Whether the unit has a look at this station is told, not required: another one may have let it
// pass.
Result<bool> was_looked_at(records::Records& records, const std::string& serial) {
  return records::unit_record(records, serial).map([](const auto& unit) {
    return !unit.looks.empty();
  });
}

Status handle(records::Records& records, const flows::Event& event) {
  return handle_approved(records, event, "only a quality engineer enters and judges claims");
}

int open(const ClaimCommand& command) {
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status may = check_approver(command.dir, command.by); !may) return report(may.error());
  const auto looked_at = was_looked_at(**records, command.opened.serial);
  if (!looked_at) return report(looked_at.error());
  const Status opened = handle(**records, flows::OpenClaim{command.opened, command.by});
  if (!opened) return report(opened.error());
  say(command,
      {{"claim", command.opened.claim},
       {"serial", command.opened.serial},
       {"looked_at_here", *looked_at}},
      fmt::format("claim {} of {} is open{}; its story: lastlook unit {}", command.opened.claim,
                  command.opened.serial,
                  *looked_at ? "" : "; this station has never looked at the unit",
                  command.opened.serial));
  return done;
}

int judge(const ClaimCommand& command) {
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status may = check_approver(command.dir, command.by); !may) return report(may.error());
  domain::ClaimJudged judged = command.judged;
  judged.verdict = *domain::from_word<domain::ClaimVerdict>(command.verdict);
  const Status taken = handle(**records, flows::JudgeClaim{judged, command.by});
  if (!taken) return report(taken.error());
  say(command, {{"claim", judged.claim}, {"serial", judged.serial}, {"verdict", command.verdict}},
      fmt::format("claim {} of {}: {}", judged.claim, judged.serial, in_words(judged.verdict)));
  return done;
}

Json as_json(const records::Claim& one) {
  const auto text = [](const std::string& words) { return words.empty() ? Json() : Json(words); };
  return {{"claim", one.claim},
          {"serial", one.serial},
          {"reported", one.reported},
          {"complaint", one.complaint},
          {"verdict", one.verdict ? Json(domain::to_word(*one.verdict)) : Json()},
          {"component", text(one.component)},
          {"defect", text(one.defect)},
          {"why", text(one.why)},
          {"entered_at", one.station},
          {"look", text(one.look)},
          {"station", text(one.look_station)},
          {"variant", text(one.variant)},
          {"production_date", text(one.production_date)},
          {"shift", text(one.shift)},
          {"answer", text(one.answer)},
          {"camera", text(one.conforming)}};
}

TextTable as_table(const std::vector<records::Claim>& claims, const domain::Master& master) {
  TextTable table("lllllll");
  table.row({"reported", "claim", "serial", "verdict", "component", "let pass", "answered then"});
  for (const records::Claim& one : claims) {
    const domain::Component* component = master.component(one.component);
    table.row({one.reported, one.claim, one.serial,
               one.verdict ? std::string(in_words(*one.verdict)) : "not judged",
               component ? component->name : one.component,
               one.look.empty() ? "never here" : one.production_date + " at " + one.look_station,
               one.answer + (one.conforming.empty() ? "" : ", camera: " + one.conforming)});
  }
  return table;
}

int list(const ClaimCommand& command) {
  if (const Status s = check_source(command.source); !s) return report(s.error());
  const auto source = open_source(command.source);
  if (!source) return report(source.error());
  const auto claims = records::claims(source->view(), command.source.period);
  if (!claims) return report(claims.error());
  const auto field = field_escapes(source->view(), command.source.period);
  if (!field) return report(field.error());
  Json json = {{"claims", Json::array()}};
  for (const records::Claim& one : *claims) json["claims"].push_back(as_json(one));
  json["field"] = as_json(*field);
  add_as_of(json, *source);
  Reply reply("What came back?");
  if (!claims->empty()) reply.add(as_table(*claims, source->view().master));
  reply.add(in_a_sentence(*field));
  add_as_of(reply, *source);
  fmt::print("{}", command.json ? json.dump(2) + "\n" : reply.text());
  return done;
}

void add_by(CLI::App* app, ClaimCommand& command) {
  app->add_option("--dir", command.dir, "The station's folder")->required();
  app->add_option("--approved-by", command.by,
                  "Id of the quality engineer, whose PIN is read from standard input")
      ->required();
  app->add_flag("--json", command.json, "Writes JSON");
}

void add_open(CLI::App* app, Program& program, const std::shared_ptr<ClaimCommand>& command) {
  CLI::App* one = app->add_subcommand("open", "Enters a unit that came back from the field");
  one->add_option("SERIAL", command->opened.serial, "The unit's serial")->required();
  one->add_option("--claim", command->opened.claim, "The number of the claim")->required();
  one->add_option("--reported", command->opened.reported, "The day of the report, 2026-11-25")
      ->required();
  one->add_option("--complaint", command->opened.complaint, "What was complained of")->required();
  add_by(one, *command);
  one->footer(
      "Example: lastlook claim open 26330-00417 --claim C-1041 --reported 2026-11-20 --complaint "
      "'leaks at the connector' --dir station --approved-by p-58f6a1c2");
  one->callback([&program, command] { program.exit_code = open(*command); });
}

void add_judge(CLI::App* app, Program& program, const std::shared_ptr<ClaimCommand>& command) {
  CLI::App* one = app->add_subcommand(
      "judge", "Says whether the last look ought to have seen it; judged again, the newest counts");
  one->add_option("SERIAL", command->judged.serial, "The unit's serial")->required();
  one->add_option("--claim", command->judged.claim, "The number of the claim")->required();
  one->add_option("--verdict", command->verdict,
                  "escaped: the last look ought to have stopped it; not_visible: it could not")
      ->required()
      ->check(CLI::IsMember({"escaped", "not_visible"}));
  one->add_option("--component", command->judged.component, "Of the fault, by its id");
  one->add_option("--defect", command->judged.defect, "Of the catalogue, by its id");
  one->add_option("--why", command->judged.why, "Why")->required();
  add_by(one, *command);
  one->footer(
      "Example: lastlook claim judge 26330-00417 --claim C-1041 --verdict escaped --component "
      "seal --defect missing --why 'no seal in the connector' --dir station --approved-by "
      "p-58f6a1c2");
  one->callback([&program, command] { program.exit_code = judge(*command); });
}

}  // namespace

void add_claim(Program& program) {
  CLI::App* app = program.app.add_subcommand(
      "claim", "Units that came back from the field, and what that says of the last look");
  app->require_subcommand(1);
  const auto command = std::make_shared<ClaimCommand>();
  add_open(app, program, command);
  add_judge(app, program, command);
  CLI::App* one = app->add_subcommand(
      "list", "All of them, with the look that let each unit pass; dates are of those looks");
  add_records_source(one, command->source);
  one->add_flag("--json", command->json, "Writes JSON");
  one->footer("Example: lastlook claim list --plant sqlite:plant.db --from 2026-11-02");
  one->callback([&program, command] { program.exit_code = list(*command); });
}

}  // namespace lastlook::commands
