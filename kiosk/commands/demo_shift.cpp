// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_shift.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "kiosk/capture/opinion.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/records/pictures.h"
#include "vision/picture_file.h"

namespace lastlook::commands {
namespace {

constexpr std::int64_t second_us = 1'000'000;
constexpr std::int64_t minute_us = 60 * second_us;
constexpr std::int64_t takt_us = 214 * second_us;

// When the shift that runs at `now` began.
std::int64_t shift_start_us(const domain::Master& master, const domain::Reading& now) {
  const domain::LocalTime time = domain::local_time(now.wall_us, now.offset_min);
  const std::string running = domain::shift_of(master, now).shift;
  for (const domain::Shift& shift : master.shifts)
    if (shift.id == running) {
      const int minutes = (time.minute_of_day - shift.start_min + 24 * 60) % (24 * 60);
      return now.wall_us - minutes * minute_us - time.second * second_us;
    }
  return now.wall_us;
}

Result<std::int64_t> last_entry_us(records::Records& records) {
  const auto entry = records.store().last_entry(records.journal());
  if (!entry) return tl::unexpected(entry.error());
  if (!*entry) return 0;
  const auto stamp = records::read_stamp((*entry)->stamp);
  if (!stamp) return tl::unexpected(stamp.error());
  return stamp->reading.wall_us;
}

// The camera of a station, by script: shows one picture and hands its opinion to the flow.
class ScriptedCamera {
 public:
  ScriptedCamera(flows::Station& station, const vision::Model& model, PlayedShift& played)
      : station_(station),
        model_(model),
        played_(played),
        pictures_(station.records().folder() / "pictures") {}

  Status look(const std::filesystem::path& file, std::int64_t taken_us) {
    const auto pixels = vision::read_picture(file);
    if (!pixels) return tl::unexpected(pixels.error());
    const capture::Frame frame{++frames_, taken_us, *pixels, file.filename().string()};
    auto seen = capture::judge_once(model_, station_.state().master, frame, asked());
    if (const auto* withheld = std::get_if<capture::Withheld>(&seen)) {
      note(std::string(capture::to_word(withheld->why)));
      return {};
    }
    return keep(std::get<capture::Given>(seen));
  }

 private:
  capture::Asked asked() const {
    const flows::Inspection& state = station_.state();
    if (const auto& shown = state.challenge.open)
      return {shown->showing, shown->variant, shown->part};
    return {state.open->opened.look, state.open->variant, state.open->opened.serial};
  }

  void note(const std::string& why) {
    if (station_.state().open) ++played_.no_opinion[why];
  }

  // The pictures first, then the entry that names them.
  Status keep(const capture::Given& given) {
    flows::OpinionArrived arrived{given.opinion, given.tag_serial};
    const auto keep_as = [&](const std::vector<unsigned char>& bytes, std::string& name) -> Status {
      if (bytes.empty()) return {};
      return pictures_.keep(bytes).map([&](const std::string& hash) { name = hash; });
    };
    const Status kept = keep_as(given.jpeg, arrived.opinion.picture).and_then([&] {
      return keep_as(given.png, arrived.opinion.overlay);
    });
    if (!kept) return kept;
    const auto outcome = station_.handle(arrived);
    if (!outcome) return tl::unexpected(outcome.error());
    for (const flows::Notice& notice : outcome->notices) note(notice.code);
    return {};
  }

  flows::Station& station_;
  const vision::Model& model_;
  PlayedShift& played_;
  records::Pictures pictures_;
  std::int64_t frames_ = 0;
};

// Held back for a second look by another person, or held because of one: not this inspector's to
// take.
Result<bool> is_for_others(flows::Station& station, const LineUnit& unit) {
  const auto record = station.lookups().unit(unit.serial);
  if (!record) return tl::unexpected(record.error());
  const auto& due = record->second_look;
  return record->looks_differ ||
         (due && std::ranges::count(due->people, station.state().person) > 0);
}

// The proof with which a shift begins: each challenge part that the plant lists is scanned and
// judged once.
Status prove(flows::Station& station, const Samples& samples, ScriptedCamera& camera,
             ScriptedClock& clock) {
  Status done = station.handle(flows::UseCamera{"sample pictures"}).map([](const auto&) {});
  for (const SamplePart& part : samples.parts) {
    if (!done) break;
    if (!station.state().master.challenge_part(part.serial)) continue;  // an older plant
    clock.pass(20);
    const auto scanned = station.handle(flows::Scan{part.code, false});
    if (!scanned) return tl::unexpected(scanned.error());
    clock.pass(2);
    done = camera.look(part.picture, clock.read().mono_us);
    if (done && station.state().challenge.open)
      done = station.handle(flows::LeavePart{"no_opinion_came"}).map([](const auto&) {});
  }
  return done;
}

}  // namespace

Result<PlayedShift> play_shift(records::Records& records, const Samples& samples,
                               const vision::Model& model, const domain::Reading& now,
                               ScriptedClock& clock,
                               const std::function<void(int, int)>& progress) {
  Chance draws(static_cast<std::uint64_t>(samples.units.size()) * 17);
  auto opened = flows::Station::open(records, clock, [&] { return draws.uniform(); });
  if (!opened) return tl::unexpected(opened.error());
  flows::Station& station = **opened;
  if (station.state().open)
    return fail(Category::refused,
                "a unit is open at this station: finish or park it in the kiosk first");
  const auto last_us = last_entry_us(records);
  if (!last_us) return tl::unexpected(last_us.error());

  const auto units = static_cast<std::int64_t>(samples.units.size());
  const domain::Master& master = station.state().master;
  const std::int64_t start_us =
      std::max({shift_start_us(master, now), *last_us, now.wall_us - units * takt_us});
  const std::int64_t slot_us = std::max<std::int64_t>(now.wall_us - start_us, 0) / units;
  clock.set_pace(std::min(1.0, static_cast<double>(slot_us) / (100.0 * second_us)));
  clock.go_to(start_us);

  const domain::ShiftOfDay shift = domain::shift_of(master, now);
  PlayedShift played{{shift.production_date, shift.shift}, 0, {}};
  Chance chance(static_cast<std::uint64_t>(units));
  ScriptedInspector inspector(station, clock, chance);
  ScriptedCamera camera(station, model, played);
  const DemoPerson& person = demo_person(domain::Role::inspector);
  if (const Status in = inspector.sign_in(person.id, person.role, {}); !in)
    return tl::unexpected(in.error());
  if (const Status proved = prove(station, samples, camera, clock); !proved)
    return tl::unexpected(proved.error());
  std::vector<const SampleUnit*> held_back;
  const auto look_at = [&](const SampleUnit& sample) -> Status {
    const auto others = is_for_others(station, sample.unit);
    if (!others) return tl::unexpected(others.error());
    if (*others) return {};
    const auto end = inspector.look_at(
        sample.unit, [&] { return camera.look(sample.picture, clock.read().mono_us); });
    if (!end)
      return fail(end.error().category,
                  sample.picture.filename().string() + ": " + end.error().message);
    if (end->held_back) held_back.push_back(&sample);
    return {};
  };
  for (const SampleUnit& sample : samples.units) {
    clock.go_to(start_us + slot_us * played.units);
    if (const Status done = look_at(sample); !done) return tl::unexpected(done.error());
    progress(++played.units, static_cast<int>(units));
  }
  // Another inspector comes, and looks at what was held back.
  const DemoPerson& second = demo_people()[1];
  Status done = inspector.sign_in(second.id, second.role, {});
  for (const SampleUnit* sample : std::exchange(held_back, {}))
    if (done) done = look_at(*sample);
  if (done) done = inspector.sign_out();
  if (!done) return tl::unexpected(done.error());
  return played;
}

Status append_build_records(records::Records& records, const Samples& samples,
                            const domain::Reading& now) {
  std::vector<domain::Happening> built;
  for (const SampleUnit& sample : samples.units) {
    const LineUnit& unit = sample.unit;
    if (unit.serial.empty()) continue;
    std::vector<domain::UpstreamResult> results;
    for (const domain::UpstreamRule& rule : records.master().required_results)
      if (rule.test != unit.late_result)
        results.push_back({rule.test, true, "passed", now.wall_us});
    if (unit.build_record) {
      built.emplace_back(domain::UnitBuilt{unit.serial, unit.variant, results});
      continue;
    }
    for (const domain::UpstreamResult& result : results)
      built.emplace_back(domain::ResultEntered{unit.serial, result, false, {}, {}});
  }
  return records.append(built, "station", now);
}

}  // namespace lastlook::commands
