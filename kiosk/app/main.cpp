// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/display_check.h"
#include "kiosk/app/kiosk.h"

int main(int argc, char** argv) {
  return lastlook::commands::run(argc, argv, lastlook::app::open_kiosk,
                                 lastlook::app::check_display);
}
