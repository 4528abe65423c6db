// SPDX-License-Identifier: Apache-2.0
// Who may do what: the one place that says which role has which right. Common practice; a site that
// wants it stricter gives a person another role.
#pragma once

#include "kiosk/domain/words.h"

namespace lastlook::domain {

enum class Right {
  inspect,      // open a unit, answer, decide, park; show challenge parts; rate in a study
  settle,       // correct what others decided, release a hold, link a serial, let somebody in for
                // hours in spite of a bar
  approve,      // master data, models, concessions, studies, claims, pictures that go
  keep_people,  // say who may sign in, and as what
};

//                     inspect  settle  approve  keep_people
//   inspector            x
//   supervisor           x        x
//   quality engineer     x        x        x
//   administrator                                    x
bool may(Role role, Right right);

}  // namespace lastlook::domain
