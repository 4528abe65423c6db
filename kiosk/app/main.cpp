// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/command.h"

int main(int argc, char** argv) {
  return lastlook::commands::run(argc, argv, [](const auto&) { return 0; });
}
