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
#include "kiosk/commands/places.h"
#include "kiosk/commands/secret.h"
#include "kiosk/records/people.h"
#include "kiosk/text/master_json.h"

namespace lastlook::commands {
namespace {

struct StationCommand {
  std::string dir, name, master, engineer, approved_by;
  bool json = false;
};

struct Approved {
  domain::Master master;
  std::string document;
};

Result<Approved> read_document(const std::string& file) {
  auto document = read_file(file);
  if (!document) return tl::unexpected(document.error());
  auto master = text::read_master(*document);
  if (!master) return in_file(file, master.error());
  return Approved{std::move(*master), std::move(*document)};
}

void say(const StationCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

// The quality engineer first: a station whose master data names nobody is of no use.
int make(const StationCommand& command) {
  const auto approved = read_document(command.master);
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
      domain::MasterAdopted{approved->master.revision, approved->document, engineer.id}};
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

int adopt(const StationCommand& command) {
  const auto approved = read_document(command.master);
  if (!approved) return report(approved.error());
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status may = check_approver(command.dir, command.approved_by); !may)
    return report(may.error());
  domain::SystemClock clock;
  const auto station = flows::Station::open(**records, clock);
  if (!station) return report(station.error());
  const auto outcome = (*station)->handle(
      flows::AdoptMaster{approved->master, approved->document, command.approved_by});
  if (!outcome) return report(outcome.error());
  if (!outcome->notices.empty())
    return report({Category::refused, "a challenge part is being shown, first finish with it"});
  say(command, {{"revision", approved->master.revision}, {"approved_by", command.approved_by}},
      fmt::format("from the next unit on the station works under revision {}",
                  approved->master.revision));
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
    one->add_option("--dir", command->dir, "The station's folder")->required();
    one->add_option("--master", command->master,
                    "The master data as JSON, as assets/plant/coolant-pumps.json")
        ->required();
    one->add_flag("--json", command->json, "Write JSON");
    one->callback([&program, command, run] { program.exit_code = run(*command); });
    one->footer(std::string("Example: lastlook station ") + example);
    return one;
  };
  CLI::App* making =
      sub("make", "Makes a station; the engineer's PIN is read from standard input", make,
          "make --dir /srv/lastlook/LL-1 --name LL-1 --master plant.json --engineer 'Emil "
          "Template'");
  making->add_option("--name", command->name, "Unlike any other station of the plant")->required();
  making
      ->add_option("--engineer", command->engineer,
                   "The quality engineer who approved the master data")
      ->required();
  sub("adopt", "Brings a newer revision to a station that is not in use", adopt,
      "adopt --dir /srv/lastlook/LL-1 --master plant.json --approved-by p-58f6a1c2")
      ->add_option("--approved-by", command->approved_by,
                   "Id of the quality engineer, whose PIN is read from standard input")
      ->required();
}

}  // namespace lastlook::commands
