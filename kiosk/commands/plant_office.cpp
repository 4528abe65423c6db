// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/plant_office.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::commands {
namespace {

std::string in_words(const std::string& office, bool has_sent) {
  if (office.empty()) return "no station is the office: each one is given its revisions by itself";
  return fmt::format("all others adopt what station {} adopts as master data{}", office,
                     has_sent ? "" : "; it has sent nothing yet");
}

}  // namespace

int plant_office(const std::string& store, const std::string& station, bool json) {
  const auto plant = sync::open_plant_store(store, false);
  if (!plant) return report(plant.error());
  if (!station.empty())
    if (const Status made = (*plant)->make_office(station); !made) return report(made.error());
  const auto office = (*plant)->office();
  if (!office) return report(office.error());
  const auto journals = (*plant)->journals();
  if (!journals) return report(journals.error());
  const bool has_sent = std::ranges::count(*journals, *office, &sync::KnownJournal::station) > 0;
  if (json)
    fmt::print("{}\n", Json({{"office", office->empty() ? Json(nullptr) : Json(*office)},
                             {"has_sent", has_sent}})
                           .dump(2));
  else
    fmt::print("{}\n", in_words(*office, has_sent));
  return done;
}

}  // namespace lastlook::commands
