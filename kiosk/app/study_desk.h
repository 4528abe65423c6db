// SPDX-License-Identifier: Apache-2.0
// Gathers what the screens are told of agreement studies: what the one who is signed in has to
// rate, and for the quality engineer what was rated.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kiosk/domain/study.h"
#include "kiosk/flows/station.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"

namespace lastlook::app {

class StudyDesk {
 public:
  StudyDesk(flows::Station& station, screens::StudyFacts& facts)
      : station_(station), facts_(facts) {}

  void handle(const screens::RateStudy& rate);
  void handle(const screens::ShowStudy& show);
  // Forgets what the records said, where one of these changed it.
  void follow(const std::vector<domain::Happening>& happenings);
  Status gather(const std::vector<records::Person>& people, std::int64_t now_us);
  // Hash of the picture that the next item is; empty: none.
  std::string picture() const;

 private:
  Status gather_tasks();
  Status gather_results(const std::vector<records::Person>& people);

  flows::Station& station_;
  screens::StudyFacts& facts_;
  // As the records have them: what is left to rate, and all where somebody may see the results.
  std::optional<std::vector<domain::StudyRecord>> going_on_, all_;
};

}  // namespace lastlook::app
