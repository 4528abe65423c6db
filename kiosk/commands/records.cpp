// SPDX-License-Identifier: Apache-2.0
// lastlook records: what keeps a station's records whole.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>

#include "kiosk/commands/approver.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/progress.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/domain/clock.h"
#include "kiosk/records/audit.h"
#include "kiosk/records/backup.h"
#include "kiosk/records/export.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/prune.h"
#include "kiosk/records/records.h"
#include "kiosk/records/room.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/sync/anchors.h"
#include "kiosk/sync/send_pictures.h"

namespace lastlook::commands {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

struct RecordsCommand {
  std::string dir, from, to, since, until, plant;
  std::string approved_by;
  std::int64_t older_than = 0;  // days
  int keep = 0;                 // backups in a folder of them; 0: one backup in a folder of its own
  bool json = false;
};

// A folder for what is made now: DIR/backups/2026-11-25T06-12-03.
std::string made_now(const RecordsCommand& command, const char* kind) {
  if (!command.to.empty()) return command.to;
  return (fs::path(command.dir) / kind / domain::file_time(domain::SystemClock().read())).string();
}

void say(const RecordsCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

// Shows how far the records are, where someone sees it.
records::Progress shown_on(Progress& bar) {
  return [&bar](std::int64_t done, std::int64_t all) {
    bar.show(static_cast<int>(done), static_cast<int>(all));
  };
}

// Pictures that are named and not there: all in JSON, the first few for a person.
Json as_json(const std::vector<records::MissingPicture>& missing) {
  Json all = Json::array();
  for (const records::MissingPicture& one : missing)
    all.push_back({{"journal", one.journal}, {"seq", one.seq}, {"picture", one.picture}});
  return all;
}

std::string in_words(const std::vector<records::MissingPicture>& missing) {
  if (missing.empty()) return {};
  constexpr std::size_t named = 5;
  std::string text =
      fmt::format("{} pictures or models that entries name are not here:\n", missing.size());
  for (std::size_t i = 0; i < std::min(named, missing.size()); ++i)
    text += fmt::format("  {}, of entry {} of journal {}\n", missing[i].picture, missing[i].seq,
                        missing[i].journal);
  if (missing.size() > named)
    text += fmt::format("  and {} more; --json names all\n", missing.size() - named);
  return text;
}

// What the plant's store says of a station's journals, beside what they say of themselves.
struct Anchors {
  Json json = Json::array();
  std::string text;
  bool same = true;
};

Result<Anchors> anchors(const RecordsCommand& command) {
  const auto station = records::SqliteStore::open_any_form(fs::path(command.dir) / "records.db");
  if (!station) return tl::unexpected(station.error());
  const auto plant = sync::open_plant_store(command.plant, false);
  if (!plant) return tl::unexpected(plant.error());
  const auto compared = sync::compare(**station, **plant);
  if (!compared) return tl::unexpected(compared.error());
  Anchors all;
  for (const sync::Anchored& one : *compared) {
    Json differs = nullptr;
    if (one.differs) {
      all.same = false;
      const std::string& here = one.differs->station;
      differs = {{"seq", one.differs->seq}, {"station", here}, {"store", one.differs->store}};
      all.text += fmt::format(
          "entry {} of journal {} is not what was sent: the store has {}, the "
          "station {}\n",
          one.differs->seq, one.journal, one.differs->store,
          here.empty() ? "none that can be read" : here);
    }
    if (one.lost > 0) {
      all.same = false;
      all.text += fmt::format(
          "{} entries of journal {} were lost here: the store took them, and a restore went on "
          "without them\n",
          one.lost, one.journal);
    }
    if (!one.not_taken.empty()) {
      all.same = false;
      all.text += fmt::format("journal {} was never sent, and the store would not take it: {}\n",
                              one.journal, one.not_taken);
    }
    all.text += fmt::format("journal {}: {} entries here, {} in the store, {} not sent yet\n",
                            one.journal, one.station_seq, one.store_seq, one.not_sent);
    all.json.push_back({{"journal", one.journal},
                        {"station", one.station_seq},
                        {"store", one.store_seq},
                        {"not_sent", one.not_sent},
                        {"lost", one.lost},
                        {"not_taken", one.not_taken},
                        {"differs", differs}});
  }
  return all;
}

int verify(const RecordsCommand& command) {
  const auto verdict = [&] {
    Progress bar("reading");
    return records::verify(command.dir, shown_on(bar));
  }();
  if (!verdict) return report(verdict.error());
  Json faults = Json::array();
  std::string text = fmt::format("{} entries, head {}\n", verdict->entries, verdict->head);
  if (verdict->older_form > 0)
    text += fmt::format(
        "its rows are of form {}, of an older version, and were not compared: they are made again "
        "when the station is opened, or restored\n",
        verdict->older_form);
  for (const records::Fault& fault : verdict->faults) {
    faults.push_back({{"journal", fault.journal}, {"seq", fault.seq}, {"what", fault.what}});
    text += fault.seq > 0
                ? fmt::format("entry {} of journal {}: {}\n", fault.seq, fault.journal, fault.what)
                : fault.what + "\n";
  }
  text += in_words(verdict->missing_pictures);
  bool whole = verdict->whole() && verdict->missing_pictures.empty();
  Json json = {
      {"whole", whole},        {"entries", verdict->entries},
      {"head", verdict->head}, {"first_broken", verdict->whole() ? 0 : verdict->faults.front().seq},
      {"faults", faults},      {"missing_pictures", as_json(verdict->missing_pictures)}};
  if (!command.plant.empty()) {
    const auto compared = anchors(command);
    if (!compared) return report(compared.error());
    whole = json["whole"] = whole && compared->same;
    json["plant"] = compared->json;
    text += compared->text;
  }
  say(command, json, text + (whole ? "all as it was written" : "not as it was written"));
  return whole ? done : says_no;
}

int rebuild(const RecordsCommand& command) {
  const auto station = records::Records::open(command.dir);
  if (!station) return report(station.error());
  const Status made = [&] {
    Progress bar("making rows");
    return records::rebuild(**station, shown_on(bar));
  }();
  if (!made) return report(made.error());
  say(command, {{"rebuilt", true}}, "all rows were made again from the journal");
  return done;
}

Json as_json(const records::Copied& copied, const std::string& folder) {
  return {{"folder", folder},          {"entries", copied.entries},
          {"head", copied.head},       {"pictures", copied.pictures},
          {"journal", copied.journal}, {"taken_back", copied.taken_back}};
}

int backup_and_keep(const RecordsCommand& command) {
  domain::SystemClock clock;
  const std::string root =
      command.to.empty() ? (fs::path(command.dir) / "backups").string() : command.to;
  const auto rotated = records::backup_and_rotate(command.dir, root, command.keep, clock);
  if (!rotated) return report(rotated.error());
  Json json = as_json(rotated->copied, rotated->made.string());
  json["taken_away"] = Json::array();
  std::string text = fmt::format("{} entries and {} pictures copied to {}", rotated->copied.entries,
                                 rotated->copied.pictures, rotated->made.string());
  for (const fs::path& old : rotated->taken_away) {
    json["taken_away"].push_back(old.string());
    text += fmt::format("\ntaken away: {}", old.string());
  }
  say(command, json, text);
  return done;
}

int backup(const RecordsCommand& command) {
  if (command.keep > 0) return backup_and_keep(command);
  const std::string to = made_now(command, "backups");
  const auto copied = records::backup(command.dir, to);
  if (!copied) return report(copied.error());
  say(command, as_json(*copied, to),
      fmt::format("{} entries and {} pictures copied to {}", copied->entries, copied->pictures,
                  to));
  return done;
}

int restore(const RecordsCommand& command) {
  domain::SystemClock clock;
  records::Refill refill;
  std::unique_ptr<sync::PlantStore> plant;
  if (!command.plant.empty()) {
    auto opened = sync::open_plant_store(command.plant, false);
    if (!opened) return report(opened.error());
    plant = *std::move(opened);
    refill = [&](records::JournalStore& station) { return sync::take_back(station, *plant); };
  }
  const auto copied = [&] {
    Progress bar("checking the backup");
    return records::restore(command.from, command.dir, clock, shown_on(bar), refill);
  }();
  if (!copied) return report(copied.error());
  auto missing = copied->missing_pictures;
  if (plant) {
    auto still = sync::fetch_pictures(command.dir, std::move(missing), *plant);
    if (!still) return report(still.error());
    missing = *std::move(still);
  }
  const std::size_t fetched = copied->missing_pictures.size() - missing.size();
  const std::string taken =
      plant ? fmt::format(", {} of them taken back from the plant's store", copied->taken_back)
            : std::string();
  Json json = as_json(*copied, command.dir);
  json["missing_pictures"] = as_json(missing);
  json["fetched_pictures"] = fetched;
  say(command, json,
      in_words(missing) +
          fmt::format("{} entries{} and {} pictures restored; the station goes on in journal {}",
                      copied->entries, taken, copied->pictures + static_cast<std::int64_t>(fetched),
                      copied->journal));
  return done;
}

int export_entries(const RecordsCommand& command) {
  const std::string to = made_now(command, "exports");
  const auto out = [&] {
    Progress bar("writing");
    return records::export_entries(command.dir, command.since, command.until, to, shown_on(bar));
  }();
  if (!out) return report(out.error());
  say(command, {{"folder", to}, {"entries", out->entries}},
      fmt::format("{} entries written to {}", out->entries, to));
  return done;
}

// Ends with 1 where somebody has to see to it, so that a timer can ask.
int room(const RecordsCommand& command) {
  const auto station = records::Records::open_to_read(command.dir);
  if (!station) return report(station.error());
  const auto room = records::room_of(command.dir);
  if (!room) return report(room.error());
  const auto days = room->days();
  const records::RoomLevel level = room->level();
  const char* word = level == records::RoomLevel::enough ? "enough"
                     : level == records::RoomLevel::low  ? "low"
                                                         : "scarce";
  say(command,
      {{"level", word},
       {"free_bytes", room->free_bytes},
       {"whole_bytes", room->whole_bytes},
       {"bytes_a_day", room->bytes_a_day},
       {"days", days ? Json(*days) : Json(nullptr)}},
      fmt::format("{}: {:.1f} of {:.1f} GB free{}", word,
                  static_cast<double>(room->free_bytes) / 1e9,
                  static_cast<double>(room->whole_bytes) / 1e9,
                  days ? fmt::format(", enough for about {:.0f} days: {:.1f} MB of pictures a day "
                                     "in the last week",
                                     *days, static_cast<double>(room->bytes_a_day) / 1e6)
                       : ", no pictures were kept in the last week"));
  return level == records::RoomLevel::enough ? done : says_no;
}

// Named in an entry first: a picture that is gone is never one that is missed.
Status take_away(const RecordsCommand& command, records::Records& records,
                 const records::Prunable& prunable, const std::string& before) {
  constexpr std::size_t at_once = 500;
  records::Pictures files(records.folder() / "pictures");
  const auto& all = prunable.pictures;
  for (std::size_t first = 0; first < all.size(); first += at_once) {
    const auto from = all.begin() + static_cast<std::ptrdiff_t>(first);
    const auto to =
        all.begin() + static_cast<std::ptrdiff_t>(std::min(all.size(), first + at_once));
    const domain::PicturesPruned pruned{before, {from, to}};
    const Status named = handle_approved(records, flows::PrunePictures{pruned, command.approved_by},
                                         "only a quality engineer takes pictures away");
    if (!named) return named;
    for (const std::string& picture : pruned.pictures)
      if (const Status gone = files.take_away(picture); !gone) return gone;
  }
  for (const std::string& picture : prunable.left)
    if (const Status gone = files.take_away(picture); !gone) return gone;
  return {};
}

// Says only what would go, until somebody approves it.
int prune(const RecordsCommand& command) {
  const bool does = !command.approved_by.empty();
  const auto records =
      does ? records::Records::open(command.dir) : records::Records::open_to_read(command.dir);
  if (!records) return report(records.error());
  if (does)
    if (const Status may = check_approver(command.dir, command.approved_by); !may)
      return report(may.error());
  domain::Reading then = domain::SystemClock().read();
  then.wall_us -= command.older_than * 24LL * 3600 * 1'000'000;
  const std::string before = domain::shift_of((*records)->master(), then).production_date;
  const auto prunable = records::prunable(**records, before);
  if (!prunable) return report(prunable.error());
  if (does)
    if (const Status done = take_away(command, **records, *prunable, before); !done)
      return report(done.error());
  const std::size_t pictures = prunable->pictures.size() + prunable->left.size();
  say(command,
      {{"before", before},
       {"looks", prunable->looks},
       {"pictures", pictures},
       {"bytes", prunable->bytes},
       {"taken_away", does}},
      fmt::format("{} pictures of {} looks before {} in which nothing was in doubt, {:.1f} MB{}",
                  pictures, prunable->looks, before, static_cast<double>(prunable->bytes) / 1e6,
                  does ? ": taken away, their hashes stay in the journal"
                       : "; with --approved-by they are taken away"));
  return done;
}

std::string check_date(const std::string& text) {
  return domain::is_date(text)
             ? std::string()
             : fmt::format("'{}' is no date, expected for instance 2026-11-25", text);
}

}  // namespace

void add_records(Program& program) {
  CLI::App* app = program.app.add_subcommand("records", "Keeps a station's records whole");
  app->require_subcommand(1);
  const auto command = std::make_shared<RecordsCommand>();
  const auto add = [&](const char* name, const char* what, int (*run)(const RecordsCommand&),
                       const char* example) {
    CLI::App* sub = app->add_subcommand(name, what);
    sub->add_option("--dir", command->dir, "The station's folder")->required();
    sub->add_flag("--json", command->json, "Write JSON");
    sub->callback([&program, command, run] { program.exit_code = run(*command); });
    sub->footer(std::string("Example: lastlook records ") + example);
    return sub;
  };
  add("verify", "Reads everything and names the first entry that is not as it was written", verify,
      "verify --dir station --plant sqlite:plant.db")
      ->add_option("--plant", command->plant,
                   "Compares with what a plant's store took, and says what was not sent yet");
  add("room", "Says how much room the disk has, and for how many days; ends with 1 where it is low",
      room, "room --dir station --json");
  CLI::App* pruning = add(
      "prune",
      "Takes away pictures of old looks in which nothing was in doubt, never those of findings, "
      "holds, second looks, claims, studies or challenge parts",
      prune, "prune --dir station --older-than 180 --approved-by p-58f6a1c2");
  pruning->add_option("--older-than", command->older_than, "Days since their production date")
      ->required()
      ->check(CLI::Range(1, 36'500));
  pruning->add_option("--approved-by", command->approved_by,
                      "Id of the quality engineer, whose PIN is read from standard input; without "
                      "it nothing is taken away, and it is said what would be");
  add("rebuild", "Makes all rows again from the journal", rebuild, "rebuild --dir station");
  CLI::App* copying = add("backup", "Copies the station into a new folder, while it is in use",
                          backup, "backup --dir station --to /mnt/stick/backups --keep 14");
  copying->add_option("--to", command->to,
                      "A folder that is not there yet (DIR/backups/TIME); with --keep the folder "
                      "of all backups");
  copying
      ->add_option("--keep", command->keep,
                   "Makes a backup by the time in --to, and once it is whole takes the oldest "
                   "away until so many are left")
      ->check(CLI::Range(1, 10'000));
  CLI::App* restoring = add("restore", "Makes a station in an empty folder from a backup", restore,
                            "restore --dir station --from /mnt/stick/2026-11-25");
  restoring->add_option("--from", command->from, "The backup")->required();
  restoring->add_option("--plant", command->plant,
                        "Takes back the entries after the backup that were sent to this store; as "
                        "its owner");
  CLI::App* exporting = add("export", "Writes entries as CSV and JSON lines, with their hashes",
                            export_entries, "export --dir station --since 2026-11-01");
  exporting->add_option("--to", command->to, "A folder that is not there yet (DIR/exports/TIME)");
  exporting->add_option("--since", command->since, "First production date (all)")
      ->check(check_date);
  exporting->add_option("--until", command->until, "Last production date (all)")->check(check_date);
}

}  // namespace lastlook::commands
