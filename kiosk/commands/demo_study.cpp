// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_study.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/commands/demo_chance.h"
#include "kiosk/commands/demo_plant.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/places.h"
#include "kiosk/flows/station.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/study_queries.h"

namespace lastlook::commands {
namespace {

constexpr const char* good = "conforming";
constexpr const char* bad = "nonconforming";
constexpr std::size_t shown_pictures = 12;
// A study's items are the doubtful ones; whoever sees nearly all faults at the line sees fewer
// here.
constexpr double doubtful = .9, cautious = .06;

domain::StudyPlanned plan_of(std::string study, std::string title) {
  domain::StudyPlanned plan;
  plan.study = std::move(study);
  plan.title = std::move(title);
  plan.panel = {demo_person(domain::Role::supervisor).id};
  plan.ratings = {good, bad};
  return plan;
}

// Thirty units under masked numbers, every third of them not right.
domain::StudyPlanned of_units() {
  domain::StudyPlanned plan = plan_of("s-seals", "Connector seals");
  for (int i = 1; i <= 30; ++i)
    plan.items.push_back({fmt::format("{:02}", i), i % 3 == 0 ? bad : good, ""});
  for (const DemoPerson& person : demo_people())
    if (person.role == domain::Role::inspector) plan.inspectors.push_back(person.id);
  return plan;
}

// Sample pictures, as many right as not; they come to the station's pictures.
Result<domain::StudyPlanned> of_pictures(records::Records& records, const Samples& samples) {
  domain::StudyPlanned plan = plan_of("s-pictures", "Last look at pictures");
  plan.trials = 1;
  plan.inspectors = {demo_people()[0].id, demo_people()[1].id};
  records::Pictures pictures(records.folder() / "pictures");
  std::size_t right = 0;
  std::size_t wrong = 0;
  for (const SampleUnit& one : samples.units) {
    std::size_t& count = one.unit.faults.empty() ? right : wrong;
    if (count == shown_pictures / 2) continue;
    const auto bytes = read_file(one.picture.string());
    if (!bytes) return tl::unexpected(bytes.error());
    const auto hash = pictures.keep(*bytes);
    if (!hash) return tl::unexpected(hash.error());
    ++count;
    plan.items.push_back(
        {fmt::format("{:02}", plan.items.size() + 1), one.unit.faults.empty() ? good : bad, *hash});
  }
  return plan;
}

Status rate(flows::Station& station, ScriptedClock& clock, Chance& chance, const DemoPerson& person,
            const std::string& study) {
  if (const auto in = station.handle(flows::SignIn{person.id, person.role}); !in)
    return tl::unexpected(in.error());
  for (;;) {
    const auto known = station.lookups().study(study);
    if (!known) return tl::unexpected(known.error());
    const auto turn = domain::study_turn(**known, person.id);
    if (!turn) break;
    clock.pass(chance.between(8, 20));
    const domain::StudyItem& item = (*known)->plan.items[turn->item];
    const bool stops =
        item.reference == bad ? chance.of(person.skill.notices * doubtful) : chance.of(cautious);
    const auto rated = station.handle(flows::RateItem{study, item.label, stops ? bad : good});
    if (!rated) return tl::unexpected(rated.error());
  }
  return station.handle(flows::SignOut{}).map([](const auto&) {});
}

}  // namespace

Status append_demo_studies(records::Records& records, const Samples& samples, ScriptedClock& clock,
                           std::uint64_t seed) {
  const auto station = flows::Station::open(records, clock);
  if (!station) return tl::unexpected(station.error());
  const auto pictures = of_pictures(records, samples);
  if (!pictures) return tl::unexpected(pictures.error());
  const std::string& engineer = demo_person(domain::Role::quality_engineer).id;
  for (const domain::StudyPlanned& plan : {of_units(), *pictures}) {
    clock.pass(60);
    if (const auto planned = (*station)->handle(flows::PlanStudy{plan, engineer}); !planned)
      return tl::unexpected(planned.error());
  }
  Chance chance(seed);
  for (const DemoPerson& person : demo_people()) {
    if (person.role != domain::Role::inspector) continue;
    if (const Status done = rate(**station, clock, chance, person, "s-seals"); !done) return done;
  }
  return {};
}

}  // namespace lastlook::commands
