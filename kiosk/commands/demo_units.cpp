// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace lastlook::commands {
namespace {

struct Rate {
  const char* component;
  const char* defect;
  double per_unit;
};

constexpr std::array on_every_variant{
    Rate{"clip", "half_seated", .0095},
    Rate{"clip", "missing", .0020},
    Rate{"outlet_plug", "half_seated", .008},
    Rate{"outlet_plug", "missing", .0022},
    Rate{"inlet_plug", "half_seated", .006},
    Rate{"inlet_plug", "missing", .0030},
    Rate{"inlet_plug", "wrong_part", .0010},
    Rate{"inlet_plug", "dirty", .0010},
    Rate{"seal", "seal_not_seated", .0045},
    Rate{"seal", "seal_damaged", .0020},
    Rate{"seal", "seal_missing", .0012},
    Rate{"seal", "seal_wrong_part", .0006},
    Rate{"tag", "turned", .0050},
    Rate{"tag", "out_of_field", .0030},
    Rate{"tag", "print_unreadable", .0012},
    Rate{"tag", "tag_of_other_type", .0006},
    Rate{"grommet_1", "not_seated", .0040},
    Rate{"grommet_1", "missing", .0012},
    Rate{"grommet_2", "not_seated", .0040},
    Rate{"grommet_2", "missing", .0012},
    Rate{"grommet_3", "not_seated", .0050},
    Rate{"grommet_3", "missing", .0016},
    Rate{"grommet_3", "wrong_part", .0008},
    Rate{"clip", "something_else", .0010},
};
constexpr std::array with_lid_and_strap{
    Rate{"lid", "lid_not_seated", .0025},
    Rate{"lid", "damaged", .0020},
    Rate{"lid", "dirty", .0030},
    Rate{"lid", "lid_missing", .0003},
    Rate{"lid", "something_else", .0008},
    Rate{"ground_strap", "strap_loose_end", .0025},
    Rate{"ground_strap", "strap_missing", .0008},
    Rate{"ground_strap", "strap_wrong_part", .0004},
};
constexpr std::array without_lid_and_strap{
    Rate{"ground_strap", "not_wanted", .0040},
    Rate{"lid", "not_wanted", .0015},
};

// A part that is gone has no second fault; one more fault goes with another component.
void add(std::vector<Fault>& faults, const Rate& rate) {
  const bool taken = std::any_of(faults.begin(), faults.end(), [&](const Fault& fault) {
    return fault.component == rate.component;
  });
  if (!taken) faults.push_back({rate.component, rate.defect});
}

// The tag printer of the late shift feeds worse and worse: from 2 in a thousand to 5 in a hundred.
double missing_tag_rate(const Moment& moment) {
  constexpr double usual = .002;
  if (!moment.late_shift) return usual;
  const double gone = static_cast<double>(moment.day) / std::max(moment.days - 1, 1);
  return usual + .048 * std::pow(gone, 1.5);
}

double bad_seal_rate(const Moment& moment) {
  const bool bad = moment.day >= bad_seals_first_day && moment.day <= bad_seals_last_day;
  return bad ? .10 : 0.0;
}

}  // namespace

const Fault* LineUnit::fault_at(const std::string& component) const {
  const auto found = std::find_if(faults.begin(), faults.end(),
                                  [&](const Fault& fault) { return fault.component == component; });
  return found == faults.end() ? nullptr : &*found;
}

std::string tag_type_of(const std::string& variant) {
  std::string type = variant;
  std::erase(type, '-');
  return type;
}

std::vector<Fault> Line::faults(const std::string& variant, const Moment& moment) {
  std::vector<Fault> faults;
  if (chance_.of(missing_tag_rate(moment))) add(faults, {"tag", "missing", 0});
  if (chance_.of(bad_seal_rate(moment))) add(faults, {"seal", "seal_damaged", 0});
  const auto draw = [&](const auto& rates, double times) {
    for (const Rate& rate : rates)
      if (chance_.of(rate.per_unit * times)) add(faults, rate);
  };
  const auto draw_all = [&](double times) {
    draw(on_every_variant, times);
    if (variant == "CP-210")
      draw(with_lid_and_strap, times);
    else
      draw(without_lid_and_strap, times);
  };
  draw_all(1.0);
  // Faults keep company: a unit that was built in haste has another one now and then.
  if (!faults.empty()) draw_all(1.5);
  return faults;
}

LineUnit Line::next(const Moment& moment) {
  LineUnit unit;
  unit.variant = chance_.of(.3) ? "CP-210N" : "CP-210";
  unit.serial = fmt::format("{:02}{:03}-{:05}", moment.year % 100, moment.day_of_year, number_++);
  unit.faults = faults(unit.variant, moment);
  std::string type = tag_type_of(unit.variant);
  if (const Fault* tag = unit.fault_at("tag")) {
    if (tag->defect == "missing" || tag->defect == "print_unreadable") return unit;
    if (tag->defect == "tag_of_other_type") type = type == "CP210" ? "CP210N" : "CP210";
  }
  unit.code = type + "-" + unit.serial;
  unit.build_record = !chance_.of(.02);
  if (chance_.of(.008)) unit.late_result = domain::UpstreamTest::fill_mass;
  if (chance_.of(.004)) unit.late_result = domain::UpstreamTest::leak;
  return unit;
}

}  // namespace lastlook::commands
