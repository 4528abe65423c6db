// SPDX-License-Identifier: Apache-2.0
// lastlook kiosk: the window at a station.
#include <memory>

#include "kiosk/commands/command.h"

namespace lastlook::commands {

void add_kiosk(Program& program) {
  auto options = std::make_shared<KioskOptions>();
  CLI::App* command = program.app.add_subcommand("kiosk", "The window at a station");
  command->add_option("--dir", options->dir, "Folder of the station")->required();
  command->add_option("--pictures", options->pictures,
                      "What the camera is: /dev/v4l/by-id/…, a video file, a folder of pictures");
  command->add_option("--send-to", options->send_to,
                      "The plant's store, sent to in the background: sqlite:FILE, folder:FOLDER, "
                      "postgresql://…");
  command->add_option("--window", options->window,
                      "Size of the window, 1280x800; else full screen");
  command->add_option("--monitor", options->monitor,
                      "Which one to fill: its name or number; else the primary one");
  command
      ->add_option(
          "--dark-after", options->dark_after_min,
          "Minutes without a touch after which the screen goes dark; a touch or scan lights "
          "it up and does nothing else (never)")
      ->check(CLI::Range(1, 1440));
  command->add_option("--theme", options->theme, "light or dark")
      ->check(CLI::IsMember({"light", "dark"}));
  command->add_option(
      "--language", options->language,
      "Of whoever has chosen none at the screen: en, de, es, pl or zh; qps for English made "
      "longer, to see whether a screen has room for translations");
  command
      ->add_option("--mm-per-px", options->mm_per_px,
                   "Width of a pixel on this screen in millimetres; else as the monitor says")
      ->check(CLI::Range(0.08, 0.35));
  command
      ->add_option("--text-scale", options->text_scale_percent,
                   "Percent of the usual size of type; words that have no room at it are smaller")
      ->check(CLI::Range(100, 200));
  command
      ->add_option("--sound", options->sound, "on or off; tones for accepted, not accepted, told")
      ->check(CLI::IsMember({"on", "off"}));
  command->add_flag("--left-handed", options->left_handed,
                    "Answers on the left; the picture is never mirrored");
  command->footer(
      "Example: lastlook kiosk --dir /srv/lastlook/LL-1 --pictures /dev/video0 --mm-per-px 0.17");
  command->callback([&program, options] {
    // In a window of its own it is a trial on somebody's desk, and no station.
    options->may_be_closed = !options->window.empty();
    program.exit_code = program.open_window(*options);
  });
}

}  // namespace lastlook::commands
