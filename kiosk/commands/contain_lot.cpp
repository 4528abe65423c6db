// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/contain_lot.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <map>
#include <vector>

#include "kiosk/commands/command.h"
#include "kiosk/commands/whereabouts.h"
#include "kiosk/records/challenge_queries.h"
#include "kiosk/records/unit_queries.h"

namespace lastlook::commands {
namespace {

struct Found {
  records::UnitWithLot unit;
  std::string variant;
  records::Whereabouts now;
  std::optional<records::LookedAgain> again;
  bool is_inside() const { return unit.replaced_us == 0; }
};

Result<std::vector<Found>> look_up(const LotQuestion& question, records::View view) {
  auto units = records::units_with_lot(view, question.lot, question.part);
  if (!units) return tl::unexpected(units.error());
  std::vector<Found> all;
  for (records::UnitWithLot& unit : *units) {
    auto story = records::unit_story(view, unit.serial);
    if (!story) return tl::unexpected(story.error());
    if (!*story) continue;
    Found found{std::move(unit), "", (*story)->now, {}};
    if (!(*story)->builds.empty()) found.variant = (*story)->builds.back().variant;
    if (question.doubted_us > 0) {
      std::vector<records::ContainedUnit> one(1);
      one[0].serial = found.unit.serial;
      one[0].doubted_us = question.doubted_us;
      if (const Status done = records::find_looks_again(view, one); !done)
        return tl::unexpected(done.error());
      found.again = one[0].again;
    }
    all.push_back(std::move(found));
  }
  return all;
}

std::map<std::string, std::int64_t> by_place(const std::vector<Found>& all) {
  std::map<std::string, std::int64_t> counts;
  for (const Found& one : all)
    if (one.is_inside()) ++counts[one.now.state];
  return counts;
}

Json as_json(const LotQuestion& question, const std::vector<Found>& all, const LocalTimes& times) {
  Json units = Json::array();
  for (const Found& one : all) {
    const auto time = [&](std::int64_t us) {
      return us == 0 ? Json(nullptr) : Json(times.iso(one.unit.station, us));
    };
    Json row = {{"serial", one.unit.serial},
                {"part", one.unit.part},
                {"variant", one.variant},
                {"fitted", time(one.unit.fitted_us)},
                {"replaced", time(one.unit.replaced_us)},
                {"now", times.json(one.now)}};
    if (question.doubted_us > 0)
      row["again"] = one.again ? Json{{"look", one.again->look},
                                      {"station", one.again->station},
                                      {"disposition", domain::to_word(one.again->disposition)}}
                               : Json(nullptr);
    units.push_back(std::move(row));
  }
  return {
      {"lot", question.lot}, {"part", question.part}, {"units", units}, {"by_now", by_place(all)}};
}

Reply as_reply(const LotQuestion& question, const std::vector<Found>& all,
               const LocalTimes& times) {
  Reply reply("Units with parts of lot " + question.lot);
  if (all.empty()) {
    reply.add("no unit is known to have one inside");
    return reply;
  }
  TextTable table("llllll");
  table.row({"serial", "part", "variant", "inside", "again", "now"});
  std::int64_t inside = 0, again = 0;
  for (const Found& one : all) {
    inside += one.is_inside();
    again += one.is_inside() && one.again.has_value();
    const std::string looked = one.again ? std::string(domain::to_word(one.again->disposition))
                               : question.doubted_us > 0 && one.is_inside() ? "to do"
                                                                            : "";
    table.row({one.unit.serial, one.unit.part, one.variant, one.is_inside() ? "yes" : "replaced",
               looked, times.in_words(one.now)});
  }
  reply.add(std::move(table));
  reply.add(fmt::format("inside now: {} of {}", inside, all.size()));
  if (question.doubted_us > 0) reply.add(fmt::format("of these looked at again: {}", again));
  std::vector<std::string> places;
  for (const auto& [place, n] : by_place(all)) places.push_back(fmt::format("{} {}", place, n));
  reply.add(fmt::format("by now: {}", fmt::join(places, ", ")));
  return reply;
}

}  // namespace

int contain_lot(const StationSource& from, const LotQuestion& question, const Delivery& delivery) {
  const auto source = open_source(from);
  if (!source) return report(source.error());
  const auto all = look_up(question, source->view());
  if (!all) return report(all.error());
  const auto times = LocalTimes::of(*source);
  if (!times) return report(times.error());
  Reply reply = as_reply(question, *all, *times);
  add_as_of(reply, *source);
  const Status said = deliver(delivery, reply, [&] {
    Json json = as_json(question, *all, *times);
    add_as_of(json, *source);
    return json;
  });
  return said ? done : report(said.error());
}

}  // namespace lastlook::commands
