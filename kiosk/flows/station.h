// SPDX-License-Identifier: Apache-2.0
// A station at work: the inspection's state on one side, the durable records on the other. One
// event is one transaction; the state changes only after the records have it.
#pragma once

#include <functional>
#include <memory>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/flows/inspection.h"
#include "kiosk/records/records.h"

namespace lastlook::flows {

class Station {
 public:
  // Numbers from 0 to below 1; none given: the system's generator.
  using Draw = std::function<double()>;
  // Folds the open and parked looks again from the journal: the same step of the same unit.
  static Result<std::unique_ptr<Station>> open(records::Records& records, domain::Clock& clock,
                                               Draw draw = {});
  ~Station();

  // Decides, makes durable, evolves. When it returns a value, everything acknowledged is on disk.
  Result<Outcome> handle(const Event& event);

  const Inspection& state() const;
  records::Records& records();
  Lookups& lookups();

 private:
  struct Inside;
  explicit Station(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace lastlook::flows
