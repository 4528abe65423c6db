// SPDX-License-Identifier: Apache-2.0
// lastlook station: makes a station, and brings a new revision of the master data to it.
#include "kiosk/flows/station.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>

#include "kiosk/commands/approver.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/plant_document.h"
#include "kiosk/commands/secret.h"
#include "kiosk/records/people.h"
#include "kiosk/records/tables.h"

namespace lastlook::commands {
namespace {

struct StationCommand {
  std::string dir, name, master, engineer, approved_by, second;
  bool json = false;
};

void say(const StationCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

// The quality engineer first: a station whose master data names nobody is of no use.
int make(const StationCommand& command) {
  const auto approved = read_plant_document(command.master);
  if (!approved) return report(approved.error());
  const auto pin = read_secret("a PIN of 4 to 12 digits for the quality engineer");
  if (!pin) return report(pin.error());
  if (const Status fits = records::check_pin(*pin); !fits) return report(fits.error());
  domain::SystemClock clock;
  const auto records = records::Records::create(command.dir, command.name, clock);
  if (!records) return report(records.error());
  const records::Person engineer{records::new_person_id(), command.engineer,
                                 domain::Role::quality_engineer};
  const Status admitted = records::People::open(command.dir).and_then([&](const auto& people) {
    return people->add(engineer, *pin);
  });
  if (!admitted) return report(admitted.error());
  const std::array<domain::Happening, 1> adopted{
      domain::MasterAdopted{approved->master.revision, approved->text, engineer.id}};
  if (const Status kept = (*records)->append(adopted, engineer.id, clock.read()); !kept)
    return report(kept.error());
  say(command,
      {{"station", command.name},
       {"journal", (*records)->journal()},
       {"revision", approved->master.revision},
       {"approved_by", engineer.id}},
      fmt::format("station {} is made and works under revision {}; let people in with 'lastlook "
                  "people add', open the window with 'lastlook kiosk'",
                  command.name, approved->master.revision));
  return done;
}

// Who says so: two where the revision at work wants that.
Status check_approval(const StationCommand& command, const domain::Master& at_work) {
  const bool two = at_work.revision_approval == domain::RevisionRule::two_people;
  if (two && (command.second.empty() || command.second == command.approved_by))
    return fail(Category::refused,
                fmt::format("--second: revision {} wants two people to approve another one, "
                            "expected the id of a second one",
                            at_work.revision));
  if (!two && !command.second.empty())
    return fail(Category::bad_input,
                fmt::format("--second: under revision {} one person approves, leave it out",
                            at_work.revision));
  return records::People::open(command.dir).and_then([&](const auto& people) {
    const Status one =
        check_right(*people, "--approved-by", command.approved_by, domain::Right::approve);
    if (!one || !two) return one;
    return check_right(*people, "--second", command.second, domain::Right::settle);
  });
}

int adopt(const StationCommand& command) {
  const auto approved = read_plant_document(command.master);
  if (!approved) return report(approved.error());
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status may = check_approval(command, (*records)->master()); !may)
    return report(may.error());
  domain::SystemClock clock;
  const auto station = flows::Station::open(**records, clock);
  if (!station) return report(station.error());
  const auto outcome = (*station)->handle(
      flows::AdoptMaster{approved->master, approved->text, command.approved_by, command.second});
  if (!outcome) return report(outcome.error());
  if (!outcome->notices.empty())
    return report({Category::refused, "a challenge part is being shown, first finish with it"});
  say(command, {{"revision", approved->master.revision}, {"approved_by", command.approved_by}},
      fmt::format("from the next unit on the station works under revision {}",
                  approved->master.revision));
  return done;
}

int check_document(const StationCommand& command) {
  const auto approved = read_plant_document(command.master);
  if (!approved) return report(approved.error());
  const domain::Master& master = approved->master;
  say(command,
      {{"revision", master.revision},
       {"components", master.components.size()},
       {"variants", master.variants.size()},
       {"defects", master.defects.size()}},
      fmt::format("revision {} can be adopted: {} components, {} variants, {} defects",
                  master.revision, master.components.size(), master.variants.size(),
                  master.defects.size()));
  return done;
}

// As it was adopted, byte for byte, so that what is changed and adopted next differs in that alone.
int export_document(const StationCommand& command) {
  const auto records = records::Records::open_to_read(command.dir);
  if (!records) return report(records.error());
  const domain::Master& master = (*records)->master();
  if (master.revision == 0)
    return report({Category::not_found, "no master data was adopted at this station yet"});
  const auto rows = records::rows<records::MasterRow>((*records)->store(), {});
  if (!rows) return report(rows.error());
  for (const records::MasterRow& row : *rows)
    if (row.station == (*records)->station() && row.revision == master.revision)
      fmt::print("{}", row.document);
  return done;
}

}  // namespace

void add_station(Program& program) {
  CLI::App* app = program.app.add_subcommand("station", "Makes a station, and gives it revisions");
  app->require_subcommand(1);
  const auto command = std::make_shared<StationCommand>();
  const auto sub = [&](const char* name, const char* what, int (*run)(const StationCommand&),
                       const char* example) {
    CLI::App* one = app->add_subcommand(name, what);
    one->callback([&program, command, run] { program.exit_code = run(*command); });
    one->footer(std::string("Example: lastlook station ") + example);
    return one;
  };
  const auto of_station = [&](CLI::App* one) {
    one->add_option("--dir", command->dir, "The station's folder")->required();
  };
  const auto with_document = [&](CLI::App* one) {
    one->add_option("--master", command->master,
                    "The master data as JSON, as assets/plant/coolant-pumps.json; its form is in "
                    "assets/plant/plant.schema.json")
        ->required();
    one->add_flag("--json", command->json, "Write JSON");
  };
  CLI::App* making =
      sub("make", "Makes a station; the engineer's PIN is read from standard input", make,
          "make --dir /srv/lastlook/LL-1 --name LL-1 --master plant.json --engineer 'Emil "
          "Template'");
  of_station(making);
  with_document(making);
  making->add_option("--name", command->name, "Unlike any other station of the plant")->required();
  making
      ->add_option("--engineer", command->engineer,
                   "The quality engineer who approved the master data")
      ->required();
  CLI::App* adopting =
      sub("adopt", "Brings a newer revision to a station that is not in use", adopt,
          "adopt --dir /srv/lastlook/LL-1 --master plant.json --approved-by p-58f6a1c2");
  of_station(adopting);
  with_document(adopting);
  adopting
      ->add_option("--approved-by", command->approved_by,
                   "Id of the quality engineer, whose PIN is read from standard input")
      ->required();
  adopting->add_option("--second", command->second,
                       "Where the plant wants two (\"revision_approval\"): id of a supervisor or "
                       "another quality engineer, whose PIN is the next line of standard input");
  with_document(sub("check", "Says whether a document could be adopted, or what is wrong in it",
                    check_document, "check --master plant.json"));
  of_station(sub("export", "Writes the master data at work, as they were adopted", export_document,
                 "export --dir /srv/lastlook/LL-1 > plant.json"));
}

}  // namespace lastlook::commands
