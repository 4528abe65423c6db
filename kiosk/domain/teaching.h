// SPDX-License-Identifier: Apache-2.0
// What is taken to teach the camera: places marked on a reference picture, pictures of good units,
// and of units that are known not to be. And what each picture then says of each place.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "kiosk/domain/master.h"

namespace lastlook::domain {

// What is physically there, whatever the variant expects.
enum class Seen { present, absent, wrong, misplaced };
std::string_view to_word(Seen seen);  // as labels.csv spells it

struct TeachingMark {
  std::string component;
  Box box;  // on the reference picture
  bool operator==(const TeachingMark&) const = default;
};

// Of the reference picture's side. Smaller is too small for a finger, or a touch that slipped.
inline constexpr double least_mark = 0.02;
// Within the picture, and large enough.
bool is_place(const Box& box);

struct KnownFault {
  std::string component;
  Seen seen = Seen::absent;
  bool operator==(const KnownFault&) const = default;
};

// A picture of a unit of this variant that is good but for these faults.
struct TeachingShot {
  std::string file, variant;
  std::vector<KnownFault> faults;  // empty: a good one
  bool operator==(const TeachingShot&) const = default;
};

struct TeachingLabel {
  std::string component;
  Seen seen = Seen::present;
  Expectation expected = Expectation::present;
  bool ok = true;  // what is there is what the variant expects
  bool operator==(const TeachingLabel&) const = default;
};

// By the variant's checklist. A component that no checklist names belongs on every variant; one
// that only others name belongs on those.
Expectation expected_at(const Master& master, const std::string& variant,
                        const std::string& component);

// What would be a fault there. Where nothing is expected the empty place is none.
std::vector<Seen> possible_faults(Expectation expected);

// What the picture says of each mark, in their order.
std::vector<TeachingLabel> labels_of(const Master& master, const TeachingShot& shot,
                                     const std::vector<TeachingMark>& marks);

// What is still to be photographed, the most wanted first.
struct Wanted {
  enum class What {
    good,   // of the variant; without these nothing can be learned
    light,  // good ones of the variant in another light
    fault,  // the component missing, wrong or misplaced
  } what = What::good;
  std::string of;  // variant or component
  int pictures = 0;
  bool operator==(const Wanted&) const = default;
};
inline constexpr int least_good = 3, enough_good = 6;  // of a variant
std::string_view to_word(Wanted::What what);

// Of the variants that were photographed and of this one.
std::vector<Wanted> still_wanted(const std::string& variant, const std::vector<TeachingMark>& marks,
                                 const std::vector<TeachingShot>& shots);

// How many show a unit without a fault.
std::size_t good_shots(const std::vector<TeachingShot>& shots);

// Those of which there is a picture, in the order of the master data.
std::vector<std::string> variants_of(const Master& master, const std::vector<TeachingShot>& shots);

}  // namespace lastlook::domain
