// SPDX-License-Identifier: Apache-2.0
// Ids and codes as a person reads them.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "kiosk/flows/inspection.h"
#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/symbols.h"

namespace lastlook::screens {

// By id from the master data; the id itself where it is not known there (any more).
std::string component_name(const domain::Master& master, const std::string& id);
std::string component_names(const domain::Master& master,
                            const std::vector<std::string>& ids);  // "Lid, Tag"
std::string defect_name(const domain::Master& master, const std::string& id);
std::string variant_name(const domain::Master& master, const std::string& id);

// The serial, or the ticket where there is no serial.
std::string unit_name(const domain::LookOpened& opened);
std::string unit_name(const flows::ClosedLook& closed);

std::string worded(const text::Strings& say, const domain::Master& master,
                   const flows::Notice& notice);
std::string worded(const text::Strings& say, const domain::Master& master,
                   const flows::Obstacle& obstacle);

// How sending to the plant's store goes: "Looks that wait: 214, last sent 10:42. The
// store is not reachable: …".
std::string worded(const text::Strings& say, const sync::CourierStatus& sending);
// What is wrong with the room on the disk; empty: there is enough.
std::string worded(const text::Strings& say, const records::Room& room);
// "1.8 GB", "150 MB": of powers of ten, as disks are sold.
std::string amount_of(std::int64_t bytes);

// "look 2", or under a ticket a dash: its number is not known yet.
std::string look_number(const text::Strings& say, std::int64_t number);
// Of a blind second look only that it is one.
std::string look_number(const text::Strings& say, const domain::LookOpened& opened);

// How long ago, in words: "12 min", "3 h".
std::string age(const text::Strings& say, std::int64_t since_us, std::int64_t now_us);

// What a unit without a decision waits for.
enum class Waits { on_hold, parked, for_result, second_look };
inline constexpr std::array all_waits{Waits::on_hold, Waits::parked, Waits::for_result,
                                      Waits::second_look};
std::string_view to_word(Waits waits);
Waits waits_as(const records::WaitingUnit& unit);
Shape shape_of(Waits waits);

// When, by the clock on the wall: "07:42", of another day "11-24 07:42".
std::string moment(std::int64_t us, std::int64_t now_us, int offset_min);

// A share of 0 to 1: "86 %"; with a digit more where it is small, and never 0 % or 100 % of what is
// not.
std::string percent(const text::Strings& say, double share);

struct DispositionLook {
  Shape shape;
  Kind kind;
};
DispositionLook look_of(domain::Disposition disposition);

}  // namespace lastlook::screens
