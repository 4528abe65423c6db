// SPDX-License-Identifier: Apache-2.0
// lastlook sync: brings a station's journals to the plant's store, and back what it has for it.
#include <fmt/format.h>

#include <memory>

#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/progress.h"
#include "kiosk/records/records.h"
#include "kiosk/sync/receive.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/send_pictures.h"

namespace lastlook::commands {
namespace {

struct SyncCommand {
  std::string dir, to;
  bool json = false;
};

// What the plant has for the station.
struct Received {
  std::int64_t results = 0;
  std::int64_t revision = 0;  // newer than the station's; 0: none
};

Result<Received> receive(const SyncCommand& command, sync::PlantStore& plant,
                         std::int64_t revision) {
  Received received;
  const auto results = sync::receive_results(command.dir, plant);
  if (!results) return tl::unexpected(results.error());
  received.results = *results;
  const auto newer = sync::newer_master(plant, revision);
  if (!newer) return tl::unexpected(newer.error());
  if (*newer) received.revision = (*newer)->revision;
  return received;
}

void say(const SyncCommand& command, const sync::Sent& sent, const sync::SentPictures& pictures,
         const Received& received) {
  if (command.json) {
    Json journals = Json::array();
    for (const sync::SentJournal& one : sent.journals)
      journals.push_back({{"journal", one.journal},
                          {"sent", one.sent},
                          {"acknowledged", one.acknowledged.seq},
                          {"head", records::to_hex(one.acknowledged.hash)}});
    fmt::print(
        "{}\n",
        Json({{"entries", sent.entries},
              {"looks", sent.looks},
              {"acknowledged", sent.journals.back().acknowledged.seq},
              {"journals", journals},
              {"pictures", pictures.pictures},
              {"pictures_not_here", pictures.not_here},
              {"results", received.results},
              {"newer_revision", received.revision > 0 ? Json(received.revision) : Json(nullptr)}})
            .dump(2));
    return;
  }
  fmt::print("{} entries went, {} of them close a look\n", sent.entries, sent.looks);
  for (const sync::SentJournal& one : sent.journals)
    fmt::print("the store has journal {} up to entry {} ({})\n", one.journal.substr(0, 12),
               one.acknowledged.seq, sync::fingerprint(one.acknowledged.hash));
  if (pictures.pictures > 0) fmt::print("pictures that went: {}\n", pictures.pictures);
  if (pictures.not_here > 0)
    fmt::print(
        "pictures that should go and are missing or altered here: {}; 'lastlook records "
        "verify' names them\n",
        pictures.not_here);
  if (received.results > 0)
    fmt::print(
        "results and build records that came: {}; they are in the station's folder incoming\n",
        received.results);
  if (received.revision > 0)
    fmt::print("the plant works under revision {}; the kiosk adopts it between two units\n",
               received.revision);
}

int run_sync(const SyncCommand& command) {
  const auto station = records::Records::open_to_read(command.dir);
  if (!station) return report(station.error());
  const auto plant = sync::open_plant_store(command.to, true);
  if (!plant) return report(plant.error());
  const auto sent = [&] {
    Progress bar("sending");
    return sync::send((*station)->store(), **plant, [&](std::int64_t done, std::int64_t all) {
      bar.show(static_cast<int>(done), static_cast<int>(all));
    });
  }();
  if (!sent) return report(sent.error());
  const auto pictures = [&] {
    Progress bar("sending pictures");
    return sync::send_pictures(**station, **plant, sync::all_bytes,
                               [&](std::int64_t done, std::int64_t all) {
                                 bar.show(static_cast<int>(done), static_cast<int>(all));
                               });
  }();
  if (!pictures) return report(pictures.error());
  const auto received = receive(command, **plant, (*station)->master().revision);
  if (!received) return report(received.error());
  say(command, *sent, *pictures, *received);
  return done;
}

}  // namespace

void add_sync(Program& program) {
  CLI::App* app = program.app.add_subcommand(
      "sync", "Brings a station's journals to the plant's store, and back what it has for it");
  const auto command = std::make_shared<SyncCommand>();
  app->add_option("--dir", command->dir, "The station's folder")->required();
  app->add_option("--to", command->to,
                  "The store: sqlite:FILE (a local disk or a stick), folder:FOLDER (a network "
                  "share) or postgresql://LOGIN@HOST/DATABASE")
      ->required();
  app->add_flag("--json", command->json, "Write JSON");
  app->callback([&program, command] { program.exit_code = run_sync(*command); });
  app->footer("Example: lastlook sync --dir station --to sqlite:/mnt/stick/plant.db");
}

}  // namespace lastlook::commands
