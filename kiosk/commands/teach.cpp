// SPDX-License-Identifier: Apache-2.0
#include "vision/teach.h"

#include <fmt/format.h>
#include <unistd.h>

#include "kiosk/commands/command.h"

namespace lastlook::commands {
namespace {

void print(const vision::TeachResult& result) {
  for (const std::string& note : result.notes) fmt::print("note: {}\n", note);
  for (const vision::ComponentReport& c : result.components)
    fmt::print(
        "{:16} present {} absent {} wrong {} misplaced {}  worst good {:.2f} ({}) best bad {:.2f} "
        "({}){}\n",
        c.name, c.present, c.absent, c.wrong, c.misplaced, c.worst_good, c.worst_good_file,
        c.best_bad, c.best_bad_file, c.made_up ? " made up" : "");
  fmt::print("model {}\n", result.model.id);
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
