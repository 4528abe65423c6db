// SPDX-License-Identifier: Apache-2.0
// A small station for the window tests: one person, the plant's master data, three units with their
// results.  make_station FOLDER
// The same with a quality engineer and two components, for teaching.  make_station FOLDER teaching
#include <fmt/format.h>

#include "kiosk/commands/places.h"
#include "kiosk/records/people.h"
#include "kiosk/records/records.h"
#include "kiosk/text/master_json.h"
#include "tests/places.h"

using namespace lastlook;

namespace {

domain::UnitBuilt built(const std::string& serial, const std::string& variant,
                        std::int64_t now_us) {
  using enum domain::UpstreamTest;
  domain::UnitBuilt unit{serial, variant, {}};
  for (const domain::UpstreamTest test : {dimensions, leak, fill_mass, torque_angle, functional})
    unit.results.push_back({test, true, "in order", now_us - 600'000'000});
  return unit;
}

// Two components of one build, and the challenge parts that tell something of them.
domain::Master of_two_components(domain::Master master) {
  const auto is_kept = [](const std::string& id) { return id == "lid" || id == "inlet_plug"; };
  master.revision = 2;
  std::erase_if(master.components, [&](const auto& one) { return !is_kept(one.id); });
  master.variants.resize(1);
  std::erase_if(master.variants[0].checklist,
                [&](const auto& step) { return !is_kept(step.component); });
  std::erase_if(master.challenge_parts,
                [&](const auto& part) { return part.variant != master.variants[0].id; });
  for (domain::ChallengePart& part : master.challenge_parts)
    std::erase_if(part.faults, [&](const auto& fault) { return !is_kept(fault); });
  for (domain::Defect& defect : master.defects)
    std::erase_if(defect.components, [&](const auto& id) { return !is_kept(id); });
  std::erase_if(master.defects, [](const domain::Defect& defect) {
    return defect.components.empty() && defect.id != domain::something_else;
  });
  return master;
}

Status make(const std::string& folder, bool teaching) {
  domain::SystemClock clock;
  const auto approved = commands::read_file(source_dir() + "/assets/plant/coolant-pumps.json");
  if (!approved) return tl::unexpected(approved.error());
  auto master = text::read_master(*approved);
  if (!master) return tl::unexpected(master.error());
  // Nothing is drawn and nothing asked besides: the window does the same every time.
  master->second_looks = {};
  master->answer_first_rate = 0;
  master->answer_together = false;
  master->reaction_plans.clear();
  master->limit_samples.clear();
  master->viewing.reset();
  const std::string document = text::write_master(*master);
  const auto records = records::Records::create(folder, "LL-1", clock);
  if (!records) return tl::unexpected(records.error());
  const domain::Reading now = clock.read();
  if (teaching) {
    const domain::Master small = of_two_components(*master);
    if (const Status fits = domain::check(small); !fits) return fits;
    const std::vector<domain::Happening> happenings{
        domain::MasterAdopted{small.revision, text::write_master(small), "p-quality"},
        built("26352-00939", "CP-210", now.wall_us)};
    if (const Status kept = (*records)->append(happenings, "station", now); !kept) return kept;
    const auto people = records::People::open(folder);
    if (!people) return tl::unexpected(people.error());
    return (*people)->add({"p-emil", "Emil Template", domain::Role::quality_engineer}, "4101");
  }
  const std::vector<domain::Happening> happenings{
      domain::MasterAdopted{master->revision, document, "p-quality"},
      built("26330-00417", "CP-210", now.wall_us), built("26330-00418", "CP-210", now.wall_us),
      built("26330-00419", "CP-210N", now.wall_us)};
  if (const Status kept = (*records)->append(happenings, "station", now); !kept) return kept;
  const auto people = records::People::open(folder);
  if (!people) return tl::unexpected(people.error());
  return (*people)->add({"p-ada", "Alma Example", domain::Role::inspector}, "2100");
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) return fmt::print(stderr, "make_station FOLDER [teaching]\n"), 2;
  if (const Status made = make(argv[1], argc > 2); !made)
    return fmt::print(stderr, "{}\n", made.error().message), 1;
  return 0;
}
