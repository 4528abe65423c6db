// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/rights.h"

namespace lastlook::domain {

bool may(Role role, Right right) {
  switch (right) {
    case Right::inspect:
      return role != Role::administrator;
    case Right::settle:
      return role == Role::supervisor || role == Role::quality_engineer;
    case Right::approve:
      return role == Role::quality_engineer;
    case Right::keep_people:
      return role == Role::administrator;
  }
  return false;
}

}  // namespace lastlook::domain
