// SPDX-License-Identifier: Apache-2.0
#include "tests/places.h"

std::string source_dir() {
  return LASTLOOK_SOURCE_DIR;
}
std::string program() {
  return LASTLOOK_PROGRAM;
}
