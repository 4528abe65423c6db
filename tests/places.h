// SPDX-License-Identifier: Apache-2.0
// Where this checkout and the program under test lie. Functions, not macros: a test that is
// compiled in another checkout is then the same object for the compiler's cache.
#pragma once

#include <string>

std::string source_dir();  // "/…/lastlook", without a slash at its end
std::string program();     // "/…/build/lastlook"
