// SPDX-License-Identifier: Apache-2.0
// lastlook plant: the store where the journals of all stations come together.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <map>
#include <memory>
#include <optional>
#include <thread>

#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/plant_office.h"
#include "kiosk/commands/progress.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/records/durable.h"
#include "kiosk/records/postgres_joint.h"
#include "kiosk/records/postgres_store.h"
#include "kiosk/sync/chain.h"
#include "kiosk/sync/check_plant.h"
#include "kiosk/sync/postgres_setup.h"
#include "kiosk/sync/project_plant.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/send_pictures.h"

namespace lastlook::commands {
namespace {

struct PlantCommand {
  std::string plant, from, login, station, picture, out;
  std::vector<std::string> stores;
  bool office = false, tester = false, reader = false, once = false, json = false;
  int pause_s = 10;
};

void say(const PlantCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

int init(const PlantCommand& command) {
  const bool server = command.plant.starts_with("postgres");
  const Result<int> form =
      server ? sync::make_postgres(command.plant)
             : sync::open_plant_store(command.plant, true).map([](const auto&) { return 0; });
  if (!form) return report(form.error());
  say(command, {{"made", *form == 0}},
      *form > 0 ? fmt::format("the store was of form {} and has this program's now", *form)
      : server  ? "the store is made; let each station's login in with 'lastlook plant admit'"
                : "the store is made");
  return done;
}

int admit(const PlantCommand& command) {
  if (!command.plant.starts_with("postgres"))
    return report({Category::bad_input,
                   fmt::format("{}: only a store at postgresql://… knows logins", command.plant)});
  const int kinds = command.reader + command.tester + !command.station.empty();
  if (kinds != 1 || (command.office && command.station.empty()))
    return report({Category::bad_input,
                   "expected --station for a login that sends, --tester for one that gives "
                   "results, or --reader for one that reads"});
  const Status admitted =
      command.reader   ? records::admit_reader(command.plant, command.login)
      : command.tester ? sync::admit_tester(command.plant, command.login)
                       : sync::admit(command.plant, command.login, command.station,
                                     command.office ? sync::Sends::office : sync::Sends::station);
  if (!admitted) return report(admitted.error());
  if (command.reader)
    say(command, {{"login", command.login}, {"reader", true}},
        fmt::format("{} may read what is projected", command.login));
  else if (command.tester)
    say(command, {{"login", command.login}, {"tester", true}},
        fmt::format("{} may insert into lastlook_plant.result", command.login));
  else
    say(command,
        {{"login", command.login}, {"station", command.station}, {"office", command.office}},
        fmt::format("{} may send as station {}{}", command.login, command.station,
                    command.office ? ", whose master data all others adopt" : ""));
  return done;
}

// How far the journals are projected; empty where nothing was, or where a folder holds no rows.
struct HowFar {
  std::map<std::string, std::int64_t> entries;
  std::vector<records::StoppedRow> stopped;
};

Result<HowFar> projected_of(const PlantCommand& command) {
  HowFar all;
  const auto rows = sync::open_rows(command.plant, records::Access::read);
  const bool none = !rows && (rows.error().category == Category::not_found ||
                              rows.error().category == Category::bad_input);
  if (none) return all;
  if (!rows) return tl::unexpected(rows.error());
  const auto states = records::rows<records::StationStateRow>(**rows, {});
  if (!states) return tl::unexpected(states.error());
  for (const records::StationStateRow& state : *states) all.entries[state.journal] = state.seq;
  auto stopped = records::rows<records::StoppedRow>(**rows, {});
  if (!stopped) return tl::unexpected(stopped.error());
  all.stopped = *std::move(stopped);
  return all;
}

// What no answer of this store has in it, a line each.
std::string in_words(const std::vector<records::StoppedRow>& stopped) {
  std::string text;
  for (const records::StoppedRow& one : stopped)
    text += fmt::format(
        "\n{} stopped before entry {} of journal {}, {} entries are left out of every answer: {}",
        one.station, one.seq, one.journal.substr(0, 12), one.entries, one.why);
  return text;
}

Json as_json(const records::StoppedRow& one) {
  return {{"station", one.station},
          {"journal", one.journal},
          {"seq", one.seq},
          {"entries", one.entries},
          {"why", one.why}};
}

int status(const PlantCommand& command) {
  const auto plant = sync::open_plant_store(command.plant, false);
  if (!plant) return report(plant.error());
  const auto journals = (*plant)->journals();
  if (!journals) return report(journals.error());
  auto projected = projected_of(command);
  if (!projected) return report(projected.error());
  Json list = Json::array(), stopped = Json::array();
  TextTable table("llrrrll");
  table.row({"station", "journal", "entries", "projected", "lost", "head", "follows"});
  for (const sync::KnownJournal& one : *journals) {
    const std::int64_t entries = projected->entries[one.journal];
    const std::int64_t lost = one.head.seq - sync::end_of(one, *journals);
    list.push_back({{"station", one.station},
                    {"journal", one.journal},
                    {"entries", one.head.seq},
                    {"projected", entries},
                    {"lost", lost},
                    {"head", records::to_hex(one.head.hash)},
                    {"follows", one.after_journal}});
    table.row({one.station, one.journal.substr(0, 12), std::to_string(one.head.seq),
               std::to_string(entries), std::to_string(lost), sync::fingerprint(one.head.hash),
               one.after_journal.substr(0, 12)});
  }
  std::string text = table.text();
  text.pop_back();
  for (const records::StoppedRow& one : projected->stopped) stopped.push_back(as_json(one));
  say(command, {{"journals", list}, {"stopped", stopped}},
      journals->empty() ? "no station has sent anything yet" : text + in_words(projected->stopped));
  return done;
}

int check_all(const PlantCommand& command) {
  const auto plant = sync::open_plant_store(command.plant, false);
  if (!plant) return report(plant.error());
  const auto verdict = [&] {
    Progress bar("reading");
    return sync::check(**plant, [&](std::int64_t at, std::int64_t all) {
      bar.show(static_cast<int>(at), static_cast<int>(all));
    });
  }();
  if (!verdict) return report(verdict.error());
  Json faults = Json::array();
  std::string text = fmt::format("{} entries of {} journals and {} pictures read", verdict->entries,
                                 verdict->journals, verdict->pictures);
  for (const sync::PlantFault& fault : verdict->faults) {
    faults.push_back({{"journal", fault.journal}, {"seq", fault.seq}, {"what", fault.what}});
    text += fault.seq > 0
                ? fmt::format("\njournal {}, entry {}: {}", fault.journal, fault.seq, fault.what)
                : fmt::format("\njournal {}: {}", fault.journal, fault.what);
  }
  if (verdict->whole()) text += "; each is as its station wrote it";
  say(command,
      {{"whole", verdict->whole()},
       {"journals", verdict->journals},
       {"entries", verdict->entries},
       {"pictures", verdict->pictures},
       {"faults", faults}},
      text);
  return verdict->whole() ? done : says_no;
}

int gather(const PlantCommand& command) {
  const auto from = sync::open_plant_store(command.from, false);
  if (!from) return report(from.error());
  const auto plant = sync::open_plant_store(command.plant, true);
  if (!plant) return report(plant.error());
  const auto sent = sync::send(**from, **plant);
  if (!sent) return report(sent.error());
  const auto pictures = sync::send_pictures(**from, **plant);
  if (!pictures) return report(pictures.error());
  say(command,
      {{"entries", sent->entries}, {"looks", sent->looks}, {"pictures", pictures->pictures}},
      fmt::format("{} entries gathered, {} of them close a look, and {} pictures", sent->entries,
                  sent->looks, pictures->pictures));
  return done;
}

int picture(const PlantCommand& command) {
  const auto plant = sync::open_plant_store(command.plant, false);
  if (!plant) return report(plant.error());
  const auto journals = (*plant)->journals();
  if (!journals) return report(journals.error());
  const Error none{Category::not_found,
                   fmt::format("picture {}: the store does not have it", command.picture)};
  if (!(*plant)->pictures()) return report(none);
  for (const sync::KnownJournal& one : *journals) {
    const auto bytes = (*plant)->pictures()->bytes({one.journal, command.picture});
    if (!bytes && bytes.error().category == Category::not_found) continue;
    if (!bytes) return report(bytes.error());
    const auto* data = reinterpret_cast<const unsigned char*>(bytes->data());
    if (Status written = records::write_durably(command.out, std::span(data, bytes->size()));
        !written)
      return report(written.error());
    say(command, {{"file", command.out}, {"station", one.station}, {"bytes", bytes->size()}},
        fmt::format("{}: {} bytes, from {}", command.out, bytes->size(), one.station));
    return done;
  }
  return report(none);
}

// What a walk came to; each journal that stopped is a line.
void tell(const PlantCommand& command, const sync::Projected& projected,
          const std::vector<records::AsOf>& as_of) {
  Json stopped = Json::array();
  for (const records::StoppedRow& one : projected.stopped) stopped.push_back(as_json(one));
  const std::string text =
      fmt::format("{} entries projected; {}", projected.entries, as_of_in_words(as_of)) +
      in_words(projected.stopped);
  Json json = {{"entries", projected.entries}};
  add_as_of(json, as_of);
  json["stopped"] = stopped;
  say(command, json, text);
}

Result<sync::Projected> walk(sync::PlantStore& plant, records::Store& rows, bool again) {
  Progress bar("projecting");
  const auto shown = [&](std::int64_t at, std::int64_t all) {
    bar.show(static_cast<int>(at), static_cast<int>(all));
  };
  return again ? sync::project_all(plant, rows, shown) : sync::project_new(plant, rows, shown);
}

// More that arrives at a journal that has stopped is nothing new.
bool stopped_alike(const std::vector<records::StoppedRow>& a,
                   const std::vector<records::StoppedRow>& b) {
  return std::ranges::equal(a, b, [](const auto& one, const auto& other) {
    return one.journal == other.journal && one.seq == other.seq && one.why == other.why;
  });
}

// Opens the store, walks once and tells; after the walk that was told last only what is new.
Result<sync::Projected> walk_once(const PlantCommand& command, bool again,
                                  const std::optional<sync::Projected>& told) {
  const auto rows = sync::open_rows(command.plant, records::Access::create);
  if (!rows) return tl::unexpected(rows.error());
  const auto plant = sync::open_plant_store(command.plant, false);
  if (!plant) return tl::unexpected(plant.error());
  auto projected = walk(**plant, **rows, again);
  if (!projected) return projected;
  if (told && projected->entries == 0 && stopped_alike(projected->stopped, told->stopped))
    return projected;
  const auto as_of = records::as_of(**rows, "");
  if (!as_of) return tl::unexpected(as_of.error());
  tell(command, *projected, *as_of);
  return projected;
}

int project(const PlantCommand& command, bool again) {
  const auto projected = walk_once(command, again, {});
  if (!projected) return report(projected.error());
  return projected->stopped.empty() ? done : says_no;
}

// Until it is ended, at whatever moment: what was not whole is not there.
int follow(const PlantCommand& command) {
  if (command.once) return project(command, false);
  std::optional<sync::Projected> told;
  std::string trouble;
  while (true) {
    const auto projected = walk_once(command, false, told);
    const bool input = !projected && projected.error().category != Category::io &&
                       projected.error().category != Category::busy;
    if (input) return report(projected.error());
    // A server that is away is told once.
    const std::string now = projected ? std::string() : projected.error().message;
    if (now != trouble && !now.empty()) report(projected.error());
    trouble = now;
    told = projected ? std::optional(*projected) : std::nullopt;
    std::fflush(stdout);
    std::this_thread::sleep_for(std::chrono::seconds(command.pause_s));
  }
}

int join(const PlantCommand& command) {
  if (!command.plant.starts_with("postgres"))
    return report(
        {Category::bad_input,
         fmt::format("{}: only a database at postgresql://… looks into others", command.plant)});
  if (const Status made = records::make_joint(command.plant, command.stores); !made)
    return report(made.error());
  say(command, {{"stores", command.stores.size()}},
      fmt::format("{} stores are asked together with --plant and this address",
                  command.stores.size()));
  return done;
}

int office(const PlantCommand& command) {
  return plant_office(command.plant, command.station, command.json);
}

int rebuild(const PlantCommand& command) {
  return project(command, true);
}

}  // namespace

void add_plant(Program& program) {
  CLI::App* app = program.app.add_subcommand(
      "plant", "Keeps the store where the journals of all stations come together");
  app->require_subcommand(1);
  const auto command = std::make_shared<PlantCommand>();
  const auto add = [&](const char* name, const char* what, int (*run)(const PlantCommand&),
                       const char* example) {
    CLI::App* sub = app->add_subcommand(name, what);
    sub->add_option("STORE", command->plant, "sqlite:FILE, folder:FOLDER or postgresql://…")
        ->required();
    sub->add_flag("--json", command->json, "Write JSON");
    sub->callback([&program, command, run] { program.exit_code = run(*command); });
    sub->footer(std::string("Example: lastlook plant ") + example);
    return sub;
  };
  add("init", "Makes a store, or brings one of an older form to this program's", init,
      "init postgresql://owner@plant-server/lastlook");
  CLI::App* admitting =
      add("admit", "Lets a login of the server send as a station, give results, or read", admit,
          "admit postgresql://owner@plant-server/lastlook --login ll1 "
          "--station LL-1");
  admitting->add_option("--login", command->login, "The login, which exists")->required();
  admitting->add_option("--station", command->station, "The name of the station that it sends as");
  admitting->add_flag("--office", command->office,
                      "The others adopt what this station adopts as master data");
  admitting->add_flag("--tester", command->tester,
                      "Lets it insert results and build records into lastlook_plant.result");
  admitting->add_flag("--reader", command->reader,
                      "Lets it read what is projected, for reports, and nothing else");
  add("office", "Makes a station the one whose master data all others adopt, or says which is",
      office, "office folder:/srv/share/lastlook --station LL-1")
      ->add_option("--station", command->station, "The name of the station; none: says which is");
  CLI::App* following =
      add("run", "Projects what arrives, so that it can be asked, until it is ended", follow,
          "run postgresql://owner@plant-server/lastlook");
  following->add_flag("--once", command->once, "Projects what has arrived, and ends");
  following->add_option("--pause", command->pause_s, "Seconds between two walks")
      ->check(CLI::Range(1, 86'400))
      ->capture_default_str();
  add("rebuild", "Makes all that is projected again from the journals", rebuild,
      "rebuild sqlite:plant.db");
  add("status", "Says how far each station's journal has come", status,
      "status sqlite:/mnt/stick/plant.db");
  add("check", "Reads everything and names the first entry that is not as it was written",
      check_all, "check sqlite:/mnt/stick/plant.db");
  add("gather", "Takes what stations left in a folder or on a stick", gather,
      "gather postgresql://owner@plant-server/lastlook --from folder:/srv/share/lastlook")
      ->add_option("--from", command->from, "The store to take from")
      ->required();
  add("join", "Makes a view over several stores, to be asked with --plant as if they were one",
      join,
      "join postgresql://asks@plant-server/all --store postgresql://reads@hall-1/lastlook "
      "--store postgresql://reads@hall-2/lastlook")
      ->add_option("--store", command->stores, "A store of the view, as a login that may read it")
      ->required();
  CLI::App* taking_out = add("picture", "Writes a picture that a station sent", picture,
                             "picture sqlite:plant.db --picture 5f1c…9a --out lid.jpg");
  taking_out->add_option("--picture", command->picture, "Its hash, as 'lastlook unit' says it")
      ->required();
  taking_out->add_option("--out", command->out, "The file to write")->required();
}

}  // namespace lastlook::commands
