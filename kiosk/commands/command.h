// SPDX-License-Identifier: Apache-2.0
// The command line: one file a command. Each has one function that adds it to the program; its
// callback does the work and says the exit code.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::commands {

// What every command promises its caller.
enum ExitCode {
  done = 0,
  says_no = 1,  // understood and done, and the answer is no: damaged, refused, not in control
  bad_input =
      2,  // usage or input that cannot be understood; one line says where and what was expected
};

// What the window needs to open on a station's folder. The window lives a layer below, so main()
// hands it in.
struct KioskOptions {
  std::string dir;       // the station's folder
  std::string pictures;  // what the camera sees: a folder, a video file, a /dev/video path
  std::string send_to;   // the plant's store: its address; empty: none
  std::string window;    // "1280x800"; empty: full screen
  std::string monitor;   // the one to fill, by name or number from 1; empty: the primary one
  std::string theme = "light";
  std::string language = "en";  // of whoever has chosen none
  double mm_per_px = 0.0;       // 0: as the monitor says
  int text_scale_percent = 100;
  std::string sound = "on";
  bool left_handed = false;
  bool may_be_closed = false;  // by anybody; else only while an administrator is signed in
  int dark_after_min = 0;      // that nobody touched the screen; 0: never
};
using OpenWindow = std::function<int(const KioskOptions&)>;

// Whether a window can be opened here, and on what.
struct Check;
using CheckDisplay = std::function<std::vector<Check>()>;

struct Program {
  CLI::App app;
  OpenWindow open_window;
  CheckDisplay check_display;
  int exit_code = done;
};

// Prints the error as one line on stderr and says the exit code that belongs to it.
int report(const Error& error);

void add_pareto(Program& program);
void add_pchart(Program& program);
void add_agreement(Program& program);
void add_escapes(Program& program);
void add_where(Program& program);
void add_yield(Program& program);
void add_unit(Program& program);
void add_contain(Program& program);
void add_claim(Program& program);
void add_concession(Program& program);
void add_plan(Program& program);
void add_teach(Program& program);
void add_see(Program& program);
void add_demo(Program& program);
void add_kiosk(Program& program);
void add_records(Program& program);
void add_sync(Program& program);
void add_plant(Program& program);
void add_simulate(Program& program);
void add_station(Program& program);
void add_people(Program& program);
void add_study(Program& program);
void add_results(Program& program);
void add_doctor(Program& program);
void add_report(Program& program);

// Parses the arguments and runs the command. Returns the exit code.
int run(int argc, const char* const* argv, OpenWindow open_window, CheckDisplay check_display);

}  // namespace lastlook::commands
