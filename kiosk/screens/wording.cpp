// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/wording.h"

#include <fmt/format.h>

#include <iterator>
#include <sstream>

#include "kiosk/flows/notices.h"

namespace lastlook::screens {
namespace {

std::vector<std::string> words_in(const std::string& text) {
  std::istringstream in(text);
  return {std::istream_iterator<std::string>(in), {}};
}

std::string subject(const text::Strings& say, const domain::Master& master, std::string_view what,
                    const std::string& value) {
  if (what == "component") return component_name(master, value);
  if (what == "components") return component_names(master, words_in(value));
  if (what == "variant") return variant_name(master, value);
  if (what == "defect") return defect_name(master, value);
  for (const std::string_view words :
       {"disposition.", "park_reason.", "upstream_test.", "hold_reason.", "concession_reason."})
    if (words.substr(0, words.size() - 1) == what) return say(fmt::format("{}{}", words, value));
  return value;
}

}  // namespace

std::string component_name(const domain::Master& master, const std::string& id) {
  const domain::Component* known = master.component(id);
  return known ? known->name : id;
}

std::string component_names(const domain::Master& master, const std::vector<std::string>& ids) {
  std::string names;
  for (const std::string& id : ids)
    names += (names.empty() ? "" : ", ") + component_name(master, id);
  return names;
}

std::string defect_name(const domain::Master& master, const std::string& id) {
  const domain::Defect* known = master.defect(id);
  return known ? known->name : id;
}

std::string variant_name(const domain::Master& master, const std::string& id) {
  const domain::Variant* known = master.variant(id);
  return known ? known->id : id;
}

std::string unit_name(const domain::LookOpened& opened) {
  return opened.serial.empty() ? opened.ticket : opened.serial;
}

std::string unit_name(const flows::ClosedLook& closed) {
  return closed.serial.empty() ? closed.ticket : closed.serial;
}

std::string worded(const text::Strings& say, const domain::Master& master,
                   const flows::Notice& notice) {
  std::vector<std::string> values;
  for (const flows::NoticeKind& kind : flows::notice_kinds) {
    if (kind.code != notice.code) continue;
    for (std::size_t i = 0; i < notice.subjects.size(); ++i)
      values.push_back(subject(say, master, i < kind.subjects.size() ? kind.subjects[i] : "",
                               notice.subjects[i]));
  }
  return say("notice." + notice.code, values);
}

std::string worded(const text::Strings& say, const domain::Master& master,
                   const flows::Obstacle& obstacle) {
  using Why = flows::Obstacle::Why;
  std::string_view what;
  if (obstacle.why == Why::step_unanswered || obstacle.why == Why::answers_differ ||
      obstacle.why == Why::finding_missing || obstacle.why == Why::finding_open)
    what = "component";
  if (obstacle.why == Why::result_missing || obstacle.why == Why::result_failed)
    what = "upstream_test";
  return say(fmt::format("obstacle.{}", flows::to_word(obstacle.why)),
             {subject(say, master, what, obstacle.subject)});
}

std::string look_number(const text::Strings& say, std::int64_t number) {
  return number > 0 ? say("unit.look_number", {std::to_string(number)}) : say("unit.under_ticket");
}

std::string look_number(const text::Strings& say, const domain::LookOpened& opened) {
  return opened.second_of.empty() ? look_number(say, opened.number) : say("unit.second_look");
}

std::string age(const text::Strings& say, std::int64_t since_us, std::int64_t now_us) {
  const std::int64_t minutes = std::max<std::int64_t>(0, (now_us - since_us) / 60'000'000);
  if (minutes == 0) return say("age.now");
  if (minutes < 120) return say("age.minutes", {std::to_string(minutes)});
  if (minutes < 2 * 24 * 60) return say("age.hours", {std::to_string(minutes / 60)});
  return say("age.days", {std::to_string(minutes / (24 * 60))});
}

std::string worded(const text::Strings& say, const sync::CourierStatus& sending) {
  std::string when = say("sending.never");
  if (sending.last_sent_us > 0)
    when = domain::iso_time(sending.last_sent_us, sending.last_sent_offset_min).substr(11, 5);
  if (sending.trouble.empty() && sending.pictures_waiting > 0)
    return say("sending.pictures", {when, std::to_string(sending.pictures_waiting)});
  if (sending.trouble.empty()) return say("sending.good", {when});
  return say("sending.trouble", {std::to_string(sending.looks_waiting), when, sending.trouble});
}

std::string amount_of(std::int64_t bytes) {
  const auto value = static_cast<double>(bytes);
  return value < 1e9 ? fmt::format("{:.0f} MB", value / 1e6)
                     : fmt::format("{:.1f} GB", value / 1e9);
}

std::string worded(const text::Strings& say, const records::Room& room) {
  switch (room.level()) {
    case records::RoomLevel::enough:
      return "";
    case records::RoomLevel::low:
      // Days are said where they are what is short; else there may be many.
      if (const auto days = room.days(); days && *days < 14)
        return say("room.low", {std::to_string(static_cast<int>(*days))});
      return say("room.low_unknown", {amount_of(room.free_bytes)});
    case records::RoomLevel::scarce:
      return say("room.scarce", {amount_of(room.free_bytes)});
  }
  return "";
}

std::string_view to_word(Waits waits) {
  switch (waits) {
    case Waits::on_hold:
      return "on_hold";
    case Waits::parked:
      return "parked";
    case Waits::for_result:
      return "for_result";
    case Waits::second_look:
      return "second_look";
  }
  return "?";
}

Waits waits_as(const records::WaitingUnit& unit) {
  if (unit.parked)
    return unit.why == to_word(domain::ParkReason::waiting_for_result) ? Waits::for_result
                                                                       : Waits::parked;
  return unit.why == "second_look" ? Waits::second_look : Waits::on_hold;
}

Shape shape_of(Waits waits) {
  switch (waits) {
    case Waits::on_hold:
      return Shape::hold;
    case Waits::parked:
    case Waits::for_result:
      return Shape::parked;
    case Waits::second_look:
      return Shape::eye_shut;
  }
  return Shape::open;
}

std::string moment(std::int64_t us, std::int64_t now_us, int offset_min) {
  const std::string then = domain::iso_time(us, offset_min);
  const std::string now = domain::iso_time(now_us, offset_min);
  const std::string time = then.substr(11, 5);
  return then.substr(0, 10) == now.substr(0, 10) ? time : then.substr(5, 5) + " " + time;
}

std::string percent(const text::Strings& say, double share) {
  const double value = 100 * share;
  if (value > 0 && value < 0.1) return "<" + decimal(say, 0.1, 1) + "\u00a0%";
  if (value > 99.9 && value < 100) return decimal(say, 99.9, 1) + "\u00a0%";
  const bool fine = (value > 0 && value < 10) || (value > 90 && value < 100);
  return decimal(say, value, fine ? 1 : 0) + "\u00a0%";
}

DispositionLook look_of(domain::Disposition disposition) {
  switch (disposition) {
    case domain::Disposition::accept:
      return {Shape::conforming, Kind::good};
    case domain::Disposition::rework:
      return {Shape::rework, Kind::warn};
    case domain::Disposition::hold:
      return {Shape::hold, Kind::must};
    case domain::Disposition::scrap:
      return {Shape::scrap, Kind::stop};
  }
  return {Shape::open, Kind::plain};
}

}  // namespace lastlook::screens
