// SPDX-License-Identifier: Apache-2.0
// lastlook demo: an invented plant with four weeks of history, then its kiosk or a scripted shift.
#include <fmt/format.h>

#include <algorithm>
#include <future>

#include "kiosk/commands/command.h"
#include "kiosk/commands/demo_history.h"
#include "kiosk/commands/demo_shift.h"
#include "kiosk/commands/demo_study.h"
#include "kiosk/commands/places.h"
#include "kiosk/commands/progress.h"
#include "kiosk/flows/station.h"
#include "kiosk/records/people.h"
#include "kiosk/reports/html.h"
#include "kiosk/reports/shift_report.h"
#include "vision/teach.h"

namespace lastlook::commands {

namespace fs = std::filesystem;

namespace {

constexpr std::uint64_t seed = 210;
constexpr const char* model_file = "coolant-pump.model";

struct DemoOptions {
  std::string dir, window, theme = "light";
  bool headless = false;
};

// The history into `place`, and with it what the sample units come with.
Status build_plant(const fs::path& place, const Samples& samples, const domain::Reading& now) {
  const auto plant = demo_master();
  if (!plant) return tl::unexpected(plant.error());
  const Weeks weeks = weeks_before(plant->master, now);
  std::atomic<int> looks = 0;
  Progress bar("four weeks of looks");
  auto history = std::async(std::launch::async,
                            [&] { return write_history(place, *plant, weeks, seed, looks); });
  while (history.wait_for(std::chrono::milliseconds(100)) != std::future_status::ready)
    bar.show(looks, expected_looks(weeks));
  if (const Status written = history.get(); !written) return written;
  ScriptedClock clock(weeks.end_us(), now.offset_min);
  const auto records = records::Records::open(place);
  if (!records) return tl::unexpected(records.error());
  return append_build_records(**records, samples, clock.read()).and_then([&] {
    return append_demo_studies(**records, samples, clock, seed);
  });
}

// Goes on with a plant that is there, never touches a folder that is something else.
Status ensure_plant(const fs::path& folder, const Samples& samples, const domain::Reading& now) {
  switch (state_of(folder)) {
    case FolderState::plant:
      fmt::print("{}: goes on with the plant that is there\n", folder.string());
      return {};
    case FolderState::something_else:
      return fail(Category::bad_input,
                  fmt::format("{}: neither a demo plant nor an empty folder, nothing was changed",
                              folder.string()));
    case FolderState::free:
      break;
  }
  return build_in_place(folder,
                        [&](const fs::path& place) { return build_plant(place, samples, now); });
}

// The model taught from the sample pictures; kept in the plant's folder.
Result<vision::Model> ensure_model(const fs::path& folder, const Samples& samples) {
  const fs::path file = folder / model_file;
  std::error_code error;
  if (fs::exists(file, error)) return vision::load_model(file);
  Progress bar("teaching the camera");
  auto taught =
      vision::teach(samples.teaching, [&](int done, int total) { bar.show(done, total); });
  if (!taught) return tl::unexpected(taught.error());
  if (const Status saved = vision::save_model(taught->model, file); !saved)
    return tl::unexpected(saved.error());
  return std::move(taught->model);
}

Result<text::Strings> report_strings() {
  const auto folder = beside_program("assets/strings");
  if (!folder) return tl::unexpected(folder.error());
  return text::Strings::load(*folder / "en.json");
}

void print_no_opinion(const PlayedShift& played) {
  for (const auto& [why, looks] : played.no_opinion)
    fmt::print("  {} looks without an opinion: {}\n", looks, why);
}

Result<ExitCode> headless(const fs::path& folder, const Samples& samples,
                          const vision::Model& model, const domain::Reading& now) {
  const auto say = report_strings();
  if (!say) return tl::unexpected(say.error());
  constexpr std::int64_t day_us = 86'400'000'000;  // no shift began earlier
  ScriptedClock clock(now.wall_us - day_us, now.offset_min);
  const auto records = records::Records::open(folder);
  if (!records) return tl::unexpected(records.error());
  Progress bar("looking at units");
  const auto played = play_shift(**records, samples, model, now, clock,
                                 [&](int done, int total) { bar.show(done, total); });
  if (!played) return tl::unexpected(played.error());
  const auto facts = reports::checked_shift_facts(
      **records, played->which, {(*say)("report.note.sample_pictures")}, clock.read());
  if (!facts) return tl::unexpected(facts.error());
  const fs::path page = folder / "shift-report.html";
  if (const Status written = write_file(
          page, reports::to_html(reports::shift_report(*facts, (*records)->master(), *say)));
      !written)
    return tl::unexpected(written.error());
  fmt::print("{}", reports::shift_report_text(*facts, *say));
  print_no_opinion(*played);
  fmt::print("\n{}\n", page.string());
  return facts->journal->whole() ? done : says_no;
}

// The first inspector is at the station, so that the window opens at the next unit.
Status sign_in_first_inspector(const fs::path& folder, domain::Clock& clock) {
  const auto people = records::People::open(folder);
  if (!people) return tl::unexpected(people.error());
  const auto all = (*people)->all();
  if (!all) return tl::unexpected(all.error());
  const auto inspector = std::ranges::find(*all, domain::Role::inspector, &records::Person::role);
  const auto records = records::Records::open(folder);
  if (!records) return tl::unexpected(records.error());
  const auto station = flows::Station::open(**records, clock);
  if (!station) return tl::unexpected(station.error());
  if (inspector == all->end() || !(*station)->state().person.empty()) return {};
  const auto signed_in = (*station)->handle(flows::SignIn{inspector->id, inspector->role});
  if (!signed_in) return tl::unexpected(signed_in.error());
  return {};
}

Result<ExitCode> demo(const DemoOptions& options, const OpenWindow& open_window) {
  domain::SystemClock clock;
  const domain::Reading now = clock.read();
  const fs::path folder = options.dir;
  const auto plant = demo_master();
  if (!plant) return tl::unexpected(plant.error());
  const auto samples = read_samples(plant->master);
  if (!samples) return tl::unexpected(samples.error());
  if (const Status there = ensure_plant(folder, *samples, now); !there)
    return tl::unexpected(there.error());
  const auto model = ensure_model(folder, *samples);
  if (!model) return tl::unexpected(model.error());
  if (options.headless) return headless(folder, *samples, *model, now);
  if (const Status ready = sign_in_first_inspector(folder, clock); !ready)
    return tl::unexpected(ready.error());
  const auto camera = camera_folder(folder, *samples);
  if (!camera) return tl::unexpected(camera.error());
  KioskOptions kiosk;
  kiosk.dir = folder.string();
  kiosk.pictures = camera->string();
  kiosk.window = options.window;
  kiosk.theme = options.theme;
  kiosk.may_be_closed = true;
  return static_cast<ExitCode>(open_window(kiosk));
}

}  // namespace

void add_demo(Program& program) {
  auto options = std::make_shared<DemoOptions>();
  CLI::App* command = program.app.add_subcommand(
      "demo", "An invented plant with four weeks of history, then its kiosk");
  command->add_option("--dir", options->dir, "Folder of the plant; made if it is not there")
      ->required();
  command->add_flag("--headless", options->headless,
                    "No window: one scripted shift, then shift-report.html in the folder");
  command->add_option("--window", options->window,
                      "Size of the window, 1280x800; else full screen");
  command->add_option("--theme", options->theme, "light or dark")
      ->check(CLI::IsMember({"light", "dark"}));
  command->footer("Example: lastlook demo --dir plant --headless");
  command->callback([&program, options] {
    const auto result = demo(*options, program.open_window);
    program.exit_code = result ? *result : report(result.error());
  });
}

}  // namespace lastlook::commands
