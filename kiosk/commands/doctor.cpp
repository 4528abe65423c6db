// SPDX-License-Identifier: Apache-2.0
// lastlook doctor: what is wrong with a station, and the one thing to do about it.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <memory>

#include "kiosk/commands/checkup.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/progress.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::commands {
namespace {

struct DoctorCommand {
  std::string dir, send_to, pictures, backups;
  bool json = false;
};

const char* word_of(Outcome outcome) {
  switch (outcome) {
    case Outcome::well:
      return "well";
    case Outcome::look:
      return "look";
    case Outcome::broken:
      return "broken";
  }
  return "";
}

// In the order in which a person would ask; the records are opened first, for others look into
// them.
std::vector<Check> all_checks(Patient& patient, const CheckDisplay& display) {
  using One = std::function<Check()>;
  const auto of = [&patient](Check (*check)(const Patient&)) {
    return One([&patient, check] { return check(patient); });
  };
  std::vector<One> parts = {of(check_folder)};
  std::error_code missing;
  if (std::filesystem::is_directory(patient.dir, missing))
    parts.insert(parts.end(),
                 {[&] { return check_writer(patient); }, [&] { return check_records(patient); },
                  of(check_people), of(check_disk), of(check_backup), of(check_model)});
  parts.insert(parts.end(), {of(check_clock), check_time_zone});
  if (!patient.pictures.empty()) parts.push_back(of(check_camera));
  parts.push_back(of(patient.send_to.empty() ? check_sending : check_store));
  std::vector<Check> checks;
  Progress bar("looking");
  const int total = static_cast<int>(parts.size()) + 1;
  for (const One& part : parts) {
    bar.show(static_cast<int>(checks.size()), total);
    checks.push_back(part());
  }
  for (Check& one : display()) checks.push_back(std::move(one));
  return checks;
}

std::vector<std::string> not_looked_at(const DoctorCommand& command) {
  std::vector<std::string> left_out;
  if (command.pictures.empty()) left_out.emplace_back("the camera (--pictures)");
  if (command.send_to.empty()) left_out.emplace_back("the plant's store (--send-to)");
  return left_out;
}

void say_as_json(const DoctorCommand& command, const std::vector<Check>& checks,
                 std::int64_t broken, std::int64_t look) {
  Json all = Json::array();
  for (const Check& one : checks)
    all.push_back({{"check", one.what},
                   {"outcome", word_of(one.outcome)},
                   {"found", one.found},
                   {"mend", one.mend.empty() ? Json(nullptr) : Json(one.mend)}});
  fmt::print("{}\n", Json({{"broken", broken},
                           {"look", look},
                           {"checks", all},
                           {"not_looked_at", not_looked_at(command)}})
                         .dump(2));
}

void say_as_text(const DoctorCommand& command, const std::vector<Check>& checks,
                 std::int64_t broken, std::int64_t look) {
  TextTable table("lll");
  for (const Check& one : checks)
    table.row({word_of(one.outcome), one.what,
               one.mend.empty() ? one.found : one.found + ": " + one.mend});
  fmt::print("{}", table.text());
  const auto left_out = not_looked_at(command);
  if (!left_out.empty()) fmt::print("not looked at: {}\n", fmt::join(left_out, ", "));
  if (broken + look == 0)
    fmt::print("all that was looked at is well\n");
  else
    fmt::print("broken: {}, to look at: {}\n", broken, look);
}

int doctor(const DoctorCommand& command, const CheckDisplay& display) {
  if (!command.send_to.empty())
    if (const Status known = sync::check_address(command.send_to); !known)
      return report(known.error());
  Patient patient;
  patient.dir = command.dir;
  patient.send_to = command.send_to;
  patient.pictures = command.pictures;
  patient.backups = command.backups;
  patient.now = domain::SystemClock().read();
  const auto checks = all_checks(patient, display);
  const auto broken = std::ranges::count(checks, Outcome::broken, &Check::outcome);
  const auto look = std::ranges::count(checks, Outcome::look, &Check::outcome);
  (command.json ? say_as_json : say_as_text)(command, checks, broken, look);
  return broken > 0 ? says_no : done;
}

}  // namespace

void add_doctor(Program& program) {
  CLI::App* app = program.app.add_subcommand(
      "doctor",
      "Says what is wrong with a station, and how to mend it; changes nothing, and may be asked "
      "while the kiosk runs");
  const auto command = std::make_shared<DoctorCommand>();
  app->add_option("--dir", command->dir, "The station's folder")->required();
  app->add_option("--send-to", command->send_to, "The plant's store, as the kiosk has it");
  app->add_option("--pictures", command->pictures, "What the camera is, as the kiosk has it");
  app->add_option("--backups", command->backups, "The folder of its backups (DIR/backups)");
  app->add_flag("--json", command->json, "Write JSON");
  app->callback(
      [&program, command] { program.exit_code = doctor(*command, program.check_display); });
  app->footer(
      "Ends with 1 where something is broken.\n"
      "Example: lastlook doctor --dir /srv/lastlook/LL-1 --pictures /dev/video0");
}

}  // namespace lastlook::commands
