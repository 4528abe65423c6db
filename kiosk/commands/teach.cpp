// SPDX-License-Identifier: Apache-2.0
#include "vision/teach.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <unistd.h>

#include "kiosk/commands/command.h"

namespace lastlook::commands {
namespace {

constexpr int enough_pictures = 59;  // without a miss these prove a rate under 5 % at 95 %

std::string states_of(const vision::ComponentReport& c) {
  return fmt::format("{} present, {} absent, {} wrong, {} misplaced", c.present, c.absent, c.wrong,
                     c.misplaced);
}

// What to photograph more of, the most wanted first; empty: nothing.
std::string wanted(const vision::ComponentReport& c, int lights) {
  std::vector<std::string> more;
  if (c.worst_good <= c.best_bad && !c.made_up)
    more.push_back(fmt::format("units like {} and {}", c.worst_good_file, c.best_bad_file));
  if (c.wrong == 0) more.emplace_back("the wrong type");
  if (c.misplaced == 0) more.emplace_back("a misplaced one");
  if (c.absent == 0) more.emplace_back("the empty place");
  if (lights < 3) more.emplace_back("good ones under other lights");
  if (c.good < enough_pictures) more.emplace_back("good ones");
  return fmt::format("{}", fmt::join(more, ", "));
}

void print(const vision::ComponentReport& c, int lights) {
  fmt::print("\n{}\n", c.name);
  fmt::print("  pictures     {} ({} conforming, {} not)\n", states_of(c), c.good, c.bad);
  fmt::print("  separation   worst good {:.3f} ({}), best bad {:.3f} ({}{}): {}\n", c.worst_good,
             c.worst_good_file, c.best_bad, c.made_up ? "made up from " : "", c.best_bad_file,
             c.worst_good > c.best_bad ? "apart" : "they overlap");
  fmt::print("  held out     {} good stopped, {} good unsure, {} bad passed, {} bad unsure{}\n",
             c.good_stopped, c.good_unsure, c.bad_passed, c.bad_unsure,
             c.made_up ? " (bad: made up)" : "");
  if (c.made_up)
    fmt::print("  proves       nothing about misses: no faulty one was shown; ");
  else
    fmt::print("  proves       a miss rate of at most {:.1f} %; ", 100 * c.miss_rate_limit);
  fmt::print("a false-alarm rate of at most {:.1f} % (exact, 95 %)\n", 100 * c.false_alarm_limit);
  if (c.looks > 1) fmt::print("  looks        {} that are right, by variant\n", c.looks);
  if (c.turns) fmt::print("  turn         any is right\n");
  if (!c.code_prefix.empty()) fmt::print("  codes begin  {}\n", c.code_prefix);
  if (const std::string more = wanted(c, lights); !more.empty())
    fmt::print("  photograph   {}\n", more);
}

void print(const vision::TeachResult& result) {
  for (const vision::ComponentReport& c : result.components) print(c, result.light_groups);
  fmt::print("\n");
  for (const std::string& note : result.notes) fmt::print("note: {}\n", note);
  fmt::print("groups of like light: {}\nmodel {}\n", result.light_groups, result.model.id);
}

int teach(const std::string& folder, const std::string& out) {
  const Result<vision::TeachingFolder> read = vision::read_teaching_folder(folder);
  if (!read) return report(read.error());
  const bool terminal = isatty(STDERR_FILENO) != 0;
  const Result<vision::TeachResult> result = vision::teach(*read, [&](int done, int total) {
    if (terminal) fmt::print(stderr, "\rteaching {} of {} ", done, total);
  });
  if (terminal) fmt::print(stderr, "\r\033[K");
  if (!result) return report(result.error());
  if (const Status saved = vision::save_model(result->model, out); !saved)
    return report(saved.error());
  print(*result);
  return done;
}

}  // namespace

void add_teach(Program& program) {
  CLI::App* command = program.app.add_subcommand("teach", "Learn a product from labelled pictures");
  command->footer("Example: lastlook teach sample-images/coolant-pump --out pump.model");
  auto folder = std::make_shared<std::string>();
  auto out = std::make_shared<std::string>();
  command
      ->add_option("FOLDER", *folder,
                   "with components.json, labels.csv, the reference and the pictures")
      ->required();
  command->add_option("--out", *out, "the model file to write")->required();
  command->callback([&program, folder, out] { program.exit_code = teach(*folder, *out); });
}

}  // namespace lastlook::commands
