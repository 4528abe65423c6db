// SPDX-License-Identifier: Apache-2.0
// Who is it? A PIN is checked on the task thread, as slowly as it takes on purpose; what a right
// one is for happens then. On the window's thread.
#pragma once

#include <functional>

#include "kiosk/app/task_queue.h"
#include "kiosk/domain/clock.h"
#include "kiosk/flows/sign_in.h"
#include "kiosk/records/people.h"
#include "kiosk/screens/facts.h"

namespace lastlook::app {

class PinDesk {
 public:
  struct Parts {
    records::People& people;
    domain::Clock& clock;
    MainQueue& main;
    TaskThread& tasks;
    std::function<void(const Error&)> not_checked;  // the check itself did not work
    std::function<void()> changed;                  // the facts have, and no touch did it
    // Wall time up to which something is set aside for somebody; 0: it is not.
    std::function<Result<std::int64_t>(const std::string& person, domain::Bar bar)> allowed_until;
  };
  PinDesk(Parts parts, screens::Facts& facts) : parts_(std::move(parts)), facts_(facts) {}

  Status remember_wrong_pins();  // starting the program again shortens no wait

  using Right = std::function<void(const flows::SignIn& who)>;
  // One at a time, and only of somebody known here; a wrong PIN is told in the facts. Of who is
  // locked out none is checked: the facts say who.
  void check(const std::string& person, const std::string& pin, Right then);
  // What stands against somebody known here, and is not set aside.
  std::vector<domain::Bar> bars_against(const std::string& person) const;
  void leave();  // what is being checked is for nothing then

 private:
  flows::PadOutcome press(const flows::PadEvent& event);
  bool is_set_aside(const std::string& person, domain::Bar bar) const;
  void checked(const flows::PinToCheck& check, const Result<bool>& right, const Right& then);

  Parts parts_;
  screens::Facts& facts_;
  flows::SignInPad pad_;
};

}  // namespace lastlook::app
