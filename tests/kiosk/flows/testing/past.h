// SPDX-License-Identifier: Apache-2.0
// What a station's records know, in a few tables of memory: told the same happenings, asked the
// same questions.
#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "kiosk/flows/inspection.h"

namespace lastlook::flows::testing {

class Past final : public Lookups {
 public:
  Result<domain::UnitRecord> unit(const std::string& serial) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    domain::UnitRecord record = units_[serial];
    record.serial = serial;
    record.looks_differ = differ(serial);
    for (auto& known : record.results) known.voided = is_voided(serial, known.result);
    for (const auto& look : looks_)
      if (look.serial == serial && look.second_of.empty()) record.looks.push_back(look);
    std::ranges::sort(record.looks, {}, &domain::PastLook::number);
    return record;
  }

  Result<std::optional<domain::PastLook>> look(const std::string& look) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    for (const auto& known : looks_)
      if (known.look == look) return known;
    return std::nullopt;
  }

  Result<std::vector<domain::Concession>> concessions() override {
    if (broken) return fail(Category::io, "the disk did not answer");
    return concessions_;
  }

  Result<std::vector<domain::ApprovedModel>> approved_models() override {
    if (broken) return fail(Category::io, "the disk did not answer");
    return std::vector<domain::ApprovedModel>(models_.rbegin(), models_.rend());
  }
  Result<std::optional<domain::StudyRecord>> study(const std::string& study) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    const auto known = studies_.find(study);
    if (known == studies_.end()) return std::nullopt;
    return known->second;
  }
  Result<std::int64_t> allowed_until(const std::string& person, domain::Bar bar) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    const auto known = allowed_.find({person, bar});
    return known == allowed_.end() ? 0 : known->second;
  }
  std::string new_look_id() override { return "k-" + std::to_string(++ids_); }
  Result<std::string> new_ticket() override { return "H-" + std::to_string(++ids_); }
  std::string new_finding_id() override { return "f-" + std::to_string(++ids_); }
  Result<std::vector<domain::ClosedWithFindings>> last_looks(const std::string&,
                                                             std::int64_t at_most) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    std::vector<domain::ClosedWithFindings> last;
    for (const auto& look : looks_) {
      if (!look.disposition || !look.second_of.empty()) continue;
      domain::ClosedWithFindings closed{look.look, look.closed_us, {}};
      for (const auto& finding : look.findings)
        closed.found.push_back({finding.component, finding.defect});
      last.insert(last.begin(), closed);
    }
    if (std::ssize(last) > at_most) last.resize(static_cast<std::size_t>(at_most));
    return last;
  }
  Result<std::vector<domain::Reaction>> reactions_since(std::int64_t from_us) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    auto since = reactions_;
    std::erase_if(since, [&](const auto& one) { return one.raised_us < from_us; });
    return since;
  }
  Result<std::vector<domain::Reaction>> open_reactions() override {
    if (broken) return fail(Category::io, "the disk did not answer");
    auto open = reactions_;
    std::erase_if(open, [](const auto& one) { return !one.is_open(); });
    return open;
  }
  Result<std::optional<domain::HelpCall>> open_help() override {
    if (broken) return fail(Category::io, "the disk did not answer");
    return help_;
  }
  Result<std::vector<domain::ViewingCheck>> viewing_checks(const std::string&,
                                                           const std::string&) override {
    if (broken) return fail(Category::io, "the disk did not answer");
    return viewing_;
  }
  double draw() override { return drawn; }

  void take(const domain::Happening& happening, const domain::Reading& at,
            const std::string& actor) {
    ++seq_;
    std::visit([&](const auto& it) { take_one(it, at, actor); }, happening);
  }

  domain::Master master;  // which defects void which results
  bool broken = false;    // every question fails
  double drawn = 0.5;     // what is drawn

 private:
  domain::PastLook* known(const std::string& id) {
    const auto found = std::ranges::find(looks_, id, &domain::PastLook::look);
    return found == looks_.end() ? nullptr : &*found;
  }

  static void had_a_hand(domain::PastLook& look, const std::string& person) {
    if (std::ranges::count(look.people, person) == 0) look.people.push_back(person);
  }

  bool is_voided(const std::string& serial, const domain::UpstreamResult& result) const {
    for (const auto& look : looks_) {
      if (look.serial != serial || look.disposition != domain::Disposition::rework) continue;
      for (const auto& finding : look.findings)
        if (std::ranges::count(master.defect(finding.defect)->voids, result.test) > 0 &&
            look.closed_us >= result.measured_us)
          return true;
    }
    return false;
  }

  // The newest look accepted, and rejected at its second one.
  bool differ(const std::string& serial) const {
    const domain::PastLook* newest = nullptr;
    for (const auto& look : looks_)
      if (look.serial == serial && look.second_of.empty()) newest = &look;
    if (!newest || newest->disposition != domain::Disposition::accept) return false;
    return std::ranges::any_of(looks_, [&](const auto& look) {
      return look.second_of == newest->look && look.disposition &&
             look.disposition != domain::Disposition::accept;
    });
  }

  void take_one(const domain::UnitBuilt& it, const domain::Reading&, const std::string&) {
    units_[it.serial].variant = it.variant;
    units_[it.serial].made = it.made;
    for (const auto& result : it.results) units_[it.serial].results.push_back({result, false});
  }
  void take_one(const domain::PartsFitted& it, const domain::Reading&, const std::string&) {
    auto& parts = units_[it.serial].parts;
    std::erase_if(parts, [&](const domain::FittedPart& known) {
      return std::ranges::count(it.parts, known.part, &domain::FittedPart::part) > 0;
    });
    parts.insert(parts.end(), it.parts.begin(), it.parts.end());
  }
  void take_one(const domain::SignInAllowed& it, const domain::Reading&, const std::string&) {
    allowed_[{it.person, it.despite}] = it.until_us;
  }
  void take_one(const domain::ResultEntered& it, const domain::Reading&, const std::string&) {
    units_[it.serial].results.push_back({it.result, false});
  }
  void take_one(const domain::LookOpened& it, const domain::Reading& at, const std::string&) {
    domain::PastLook look;
    look.look = it.look;
    look.number = it.number;
    look.opened_us = at.wall_us;
    look.serial = it.serial;
    look.ticket = it.ticket;
    look.second_of = it.second_of;
    looks_.push_back(look);
    if (!it.second_of.empty()) units_[it.serial].second_look.reset();
  }
  void take_one(const domain::StepAnswered& it, const domain::Reading&, const std::string& actor) {
    had_a_hand(*known(it.look), actor);
  }
  void take_one(const domain::AnsweredTogether& it, const domain::Reading&,
                const std::string& actor) {
    had_a_hand(*known(it.look), actor);
  }
  void take_one(const domain::FindingAdded& it, const domain::Reading&, const std::string& actor) {
    known(it.look)->findings.push_back(it);
    had_a_hand(*known(it.look), actor);
  }
  void take_one(const domain::FindingWithdrawn& it, const domain::Reading&, const std::string&) {
    std::erase_if(known(it.look)->findings,
                  [&](const auto& finding) { return finding.finding == it.finding; });
  }
  void take_one(const domain::LookParked& it, const domain::Reading&, const std::string&) {
    known(it.look)->parked = true;
  }
  void take_one(const domain::LookResumed& it, const domain::Reading&, const std::string&) {
    known(it.look)->parked = false;
  }
  void take_one(const domain::LookClosed& it, const domain::Reading& at, const std::string& actor) {
    domain::PastLook& look = *known(it.look);
    look.disposition = it.disposition;
    look.closed_us = at.wall_us;
    look.closed_seq = seq_;
    look.closed_by = actor;
    had_a_hand(look, actor);
    for (auto& concession : concessions_)
      if (concession.grant.number == it.concession) ++concession.used;
  }
  void take_one(const domain::SecondLookDrawn& it, const domain::Reading&, const std::string&) {
    const domain::PastLook& look = *known(it.look);
    units_[look.serial].second_look = domain::SecondLookDue{it.look, look.people, look.number};
  }
  void take_one(const domain::DispositionCorrected& it, const domain::Reading&,
                const std::string&) {
    known(it.look)->disposition = it.to;
    known(it.look)->closed_seq = seq_;
    known(it.look)->released = false;
  }
  void take_one(const domain::HoldReleased& it, const domain::Reading&, const std::string&) {
    known(it.look)->released = true;
  }
  void take_one(const domain::SerialLinked& it, const domain::Reading&, const std::string&) {
    known(it.look)->serial = it.serial;
  }
  void take_one(const domain::SerialDisputed& it, const domain::Reading&, const std::string&) {
    units_[it.serial].disputed = true;
  }
  void take_one(const domain::ConcessionGranted& it, const domain::Reading&, const std::string&) {
    concessions_.push_back({it, 0});
  }
  void take_one(const domain::ModelApproved& it, const domain::Reading& at,
                const std::string& actor) {
    models_.push_back({it, actor, at.wall_us});
  }
  void take_one(const domain::StudyPlanned& it, const domain::Reading& at, const std::string&) {
    studies_[it.study] = {it, at.wall_us, false, "", {}};
  }
  void take_one(const domain::StudyRated& it, const domain::Reading& at, const std::string&) {
    studies_[it.study].ratings.push_back({it.person, it.trial, it.item, it.rating, at.wall_us});
  }
  void take_one(const domain::StudyEnded& it, const domain::Reading&, const std::string&) {
    studies_[it.study].ended = true;
    studies_[it.study].why_ended = it.why;
  }
  void take_one(const domain::ClaimOpened& it, const domain::Reading&, const std::string&) {
    units_[it.serial].claims.push_back({it, {}});
  }
  void take_one(const domain::ClaimJudged& it, const domain::Reading&, const std::string&) {
    for (auto& claim : units_[it.serial].claims)
      if (claim.opened.claim == it.claim) claim.judged = it;
  }
  void take_one(const domain::ReactionRaised& it, const domain::Reading& at, const std::string&) {
    reactions_.insert(reactions_.begin(), {it.reaction, "LL-1", it.plan, it.defect, it.component,
                                           it.times, it.in_units, at.wall_us, 0, ""});
  }
  void take_one(const domain::ReactionSettled& it, const domain::Reading& at, const std::string&) {
    for (auto& one : reactions_)
      if (one.reaction == it.reaction) one.settled_us = at.wall_us, one.why = it.why;
  }
  void take_one(const domain::HelpCalled& it, const domain::Reading& at, const std::string&) {
    help_ = domain::HelpCall{it.help, "LL-1", it.look, at.wall_us, 0};
  }
  void take_one(const domain::HelpCame&, const domain::Reading&, const std::string&) {
    help_.reset();
  }
  void take_one(const domain::ViewingChecked& it, const domain::Reading& at, const std::string&) {
    viewing_.push_back({"LL-1", it.lamp, it.lux, it.distance, it.allowed_by, at.wall_us});
  }
  template <class Other>
  void take_one(const Other&, const domain::Reading&, const std::string&) {}

  std::map<std::string, domain::UnitRecord> units_;
  std::vector<domain::PastLook> looks_;
  std::vector<domain::Concession> concessions_;
  std::vector<domain::ApprovedModel> models_;
  std::map<std::pair<std::string, domain::Bar>, std::int64_t> allowed_;
  std::map<std::string, domain::StudyRecord> studies_;
  std::vector<domain::Reaction> reactions_;  // the newest first
  std::optional<domain::HelpCall> help_;
  std::vector<domain::ViewingCheck> viewing_;
  std::int64_t seq_ = 0;
  int ids_ = 0;
};

}  // namespace lastlook::flows::testing
