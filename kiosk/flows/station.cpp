// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/station.h"

#include <fmt/format.h>

#include <utility>

#include "kiosk/records/model_queries.h"
#include "kiosk/records/reaction_queries.h"
#include "kiosk/records/study_queries.h"
#include "kiosk/records/unit_queries.h"

namespace lastlook::flows {
namespace {

using namespace domain;

class RecordedPast final : public Lookups {
 public:
  RecordedPast(records::Records& records, Station::Draw draw)
      : records_(records), draw_(std::move(draw)) {}

  Result<UnitRecord> unit(const std::string& serial) override {
    return records::unit_record(records_, serial);
  }
  Result<std::optional<PastLook>> look(const std::string& look) override {
    return records::past_look(records_, look);
  }
  Result<std::vector<Concession>> concessions() override {
    return records::concessions(records_, 0);  // as of 1970, when none had expired
  }
  Result<std::vector<ApprovedModel>> approved_models() override {
    return records::approved_models(records_);
  }
  Result<std::optional<StudyRecord>> study(const std::string& study) override {
    return records::study(records_, study);
  }
  std::string new_look_id() override { return records::new_look_id(); }
  Result<std::string> new_ticket() override { return records::new_ticket(records_); }
  std::string new_finding_id() override { return "f-" + records::new_look_id().substr(2); }
  Result<std::int64_t> allowed_until(const std::string& person, Bar bar) override {
    return records::allowed_until(records_, person, bar);
  }
  Result<std::vector<ClosedWithFindings>> last_looks(const std::string& from_date,
                                                     std::int64_t at_most) override {
    return records::last_looks(records_, records_.station(), from_date, at_most);
  }
  Result<std::vector<Reaction>> reactions_since(std::int64_t from_us) override {
    return records::reactions_since(records_, records_.station(), from_us);
  }
  Result<std::vector<Reaction>> open_reactions() override {
    return records::open_reactions(records_, records_.station());
  }
  Result<std::optional<HelpCall>> open_help() override {
    return records::open_help(records_, records_.station());
  }
  Result<std::vector<ViewingCheck>> viewing_checks(const std::string& date,
                                                   const std::string& shift) override {
    return records::viewing_checks(records_, {date, date, shift, records_.station(), ""});
  }
  double draw() override { return draw_ ? draw_() : records::random_number(); }

 private:
  records::Records& records_;
  Station::Draw draw_;
};

// Who an entry is by. What the camera saw and what the plant approved is nobody's touch here.
std::string actor_of(const Inspection& state, const Event& event) {
  if (const auto* sign_in = std::get_if<SignIn>(&event)) return sign_in->person;
  if (const auto* allow = std::get_if<AllowSignIn>(&event)) return allow->by;
  if (const auto* plan = std::get_if<PlanStudy>(&event)) return plan->by;
  if (const auto* end = std::get_if<EndStudy>(&event)) return end->by;
  if (const auto* claim = std::get_if<OpenClaim>(&event)) return claim->by;
  if (const auto* verdict = std::get_if<JudgeClaim>(&event)) return verdict->by;
  if (const auto* grant = std::get_if<GrantConcession>(&event)) return grant->by;
  if (const auto* prune = std::get_if<PrunePictures>(&event)) return prune->by;
  const bool by_station =
      std::holds_alternative<OpinionArrived>(event) ||
      std::holds_alternative<OtherTagSeen>(event) || std::holds_alternative<AdoptMaster>(event) ||
      std::holds_alternative<UseCamera>(event) || std::holds_alternative<TakeResults>(event);
  return by_station || state.person.empty() ? "station" : state.person;
}

Status fold(Inspection& state, const records::Entry& entry) {
  const auto happening = records::decode(entry);
  if (!happening) return tl::unexpected(happening.error());
  const auto stamp = records::read_stamp(entry.stamp);
  if (!stamp) return tl::unexpected(stamp.error());
  evolve(state, *happening, stamp->reading);
  return {};
}

// A look goes on under the revision it was opened under, or not at all.
Status has_its_revision(const OpenLook& look) {
  if (look.master.revision == look.opened.revision) return {};
  return fail(Category::damaged,
              fmt::format("revision {}, under which look {} was opened, is not in the journal",
                          look.opened.revision, look.opened.look));
}

Status check_revisions(const Inspection& state) {
  if (state.open)
    if (auto status = has_its_revision(*state.open); !status) return status;
  for (const OpenLook& look : state.parked)
    if (auto status = has_its_revision(look); !status) return status;
  return {};
}

}  // namespace

struct Station::Inside {
  Inside(records::Records& in_records, domain::Clock& in_clock, Draw draw)
      : records(in_records), clock(in_clock), past(in_records, std::move(draw)) {}

  records::Records& records;
  domain::Clock& clock;
  RecordedPast past;
  Inspection state;
};

Station::Station(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Station::~Station() = default;

Result<std::unique_ptr<Station>> Station::open(records::Records& records, domain::Clock& clock,
                                               Draw draw) {
  auto inside = std::make_unique<Inside>(records, clock, std::move(draw));
  const auto entries = records::unfinished_entries(records);
  if (!entries) return tl::unexpected(entries.error());
  for (const records::Entry& entry : *entries)
    if (auto status = fold(inside->state, entry); !status) return tl::unexpected(status.error());
  if (auto status = check_revisions(inside->state); !status) return tl::unexpected(status.error());
  inside->state.master = records.master();
  return std::unique_ptr<Station>(new Station(std::move(inside)));
}

Result<Outcome> Station::handle(const Event& event) {
  const Reading now = inside_->clock.read();
  auto outcome = decide(inside_->state, event, inside_->past, now);
  if (!outcome || outcome->happenings.empty()) return outcome;
  const std::string actor = actor_of(inside_->state, event);
  if (auto kept = inside_->records.append(outcome->happenings, actor, now); !kept)
    return tl::unexpected(kept.error());
  for (const Happening& happening : outcome->happenings) evolve(inside_->state, happening, now);
  return outcome;
}

const Inspection& Station::state() const {
  return inside_->state;
}
records::Records& Station::records() {
  return inside_->records;
}
Lookups& Station::lookups() {
  return inside_->past;
}

}  // namespace lastlook::flows
