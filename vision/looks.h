// SPDX-License-Identifier: Apache-2.0
// Which variants want the same look of a component, and which a look of their own: a label that
// names the type, a cover of another colour.
#pragma once

#include <string>
#include <vector>

#include "vision/examples.h"

namespace lastlook::vision {

struct Looks {
  std::vector<std::size_t> look_of;  // by variant, from 0
  std::vector<std::string> code_of;  // by variant: how codes on it begin; empty: no code, or any
  std::size_t count = 1;
};
// codes: by picture, what was read in the component's place; empty where nothing was.
Looks find_looks(const std::vector<Sight>& sights, const std::vector<Variant>& variants,
                 std::size_t component, const std::vector<std::string>& codes);

}  // namespace lastlook::vision
