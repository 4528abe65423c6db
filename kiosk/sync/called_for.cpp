// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/called_for.h"

#include <algorithm>
#include <cstring>
#include <set>

#include "kiosk/records/durable.h"
#include "kiosk/records/tables.h"

namespace lastlook::sync {
namespace {

using domain::Answer;
using domain::Disposition;
using records::LookRow;
using records::OpinionRow;
using records::StepAnswerRow;
using Pictures = std::set<std::string>;

// A number from 0 to below 1 that a look's id always gives.
double number_of(const std::string& look) {
  const records::Hash hash = records::hash_of_bytes(look);
  std::uint64_t number = 0;
  std::memcpy(&number, hash.data(), sizeof number);
  return static_cast<double>(number >> 11) * 0x1p-53;
}

bool disagree(const std::vector<StepAnswerRow>& answers, const std::vector<OpinionRow>& opinions) {
  return std::ranges::any_of(opinions, [&](const OpinionRow& opinion) {
    const auto answer = std::ranges::find(answers, opinion.component, &StepAnswerRow::component);
    if (answer == answers.end() || answer->answer == Answer::not_answered) return false;
    return opinion.conforming != (answer->answer == Answer::conforming ? "yes" : "no");
  });
}

class Choice {
 public:
  explicit Choice(records::Records& station) : station_(station) {}

  Result<Pictures> of(const domain::Happening& happening) {
    Pictures out;
    Status done;
    if (const auto* finding = std::get_if<domain::FindingAdded>(&happening))
      out.insert(finding->picture);
    if (const auto* judged = std::get_if<domain::PartJudged>(&happening))
      out.insert(judged->picture);
    if (const auto* closed = std::get_if<domain::LookClosed>(&happening))
      done = add_if_doubtful(*closed, out);
    if (const auto* corrected = std::get_if<domain::DispositionCorrected>(&happening))
      done = add_look(corrected->look, out);
    if (const auto* disputed = std::get_if<domain::SerialDisputed>(&happening))
      done = add_unit(disputed->serial, out);
    if (const auto* claim = std::get_if<domain::ClaimOpened>(&happening))
      done = add_unit(claim->serial, out);
    if (!done) return tl::unexpected(done.error());
    out.erase("");
    return out;
  }

 private:
  Status add_if_doubtful(const domain::LookClosed& closed, Pictures& out) {
    const auto opinions = records::rows<OpinionRow>(station_.store(), {closed.look});
    if (!opinions) return tl::unexpected(opinions.error());
    if (opinions->empty()) return {};
    const auto answers = records::rows<StepAnswerRow>(station_.store(), {closed.look});
    if (!answers) return tl::unexpected(answers.error());
    const auto repeated = first_of(closed.look);
    if (!repeated) return tl::unexpected(repeated.error());
    const bool other_than_first =
        *repeated && (*repeated)->disposition && (*repeated)->disposition != closed.disposition;
    const bool plain = closed.disposition == Disposition::accept && closed.concession.empty() &&
                       !other_than_first && !disagree(*answers, *opinions);
    if (plain && number_of(closed.look) >= station_.master().picture_sample) return {};
    for (const OpinionRow& opinion : *opinions) out.insert(opinion.picture);
    return other_than_first ? add_look((*repeated)->look, out) : Status();
  }

  // The look that a second look repeats.
  Result<std::optional<LookRow>> first_of(const std::string& look) {
    const auto row = records::find<LookRow>(station_.store(), {look});
    if (!row) return tl::unexpected(row.error());
    if (!*row || (*row)->second_of.empty()) return std::nullopt;
    return records::find<LookRow>(station_.store(), {(*row)->second_of});
  }

  Status add_look(const std::string& look, Pictures& out) {
    const auto opinions = records::rows<OpinionRow>(station_.store(), {look});
    if (!opinions) return tl::unexpected(opinions.error());
    for (const OpinionRow& opinion : *opinions) out.insert(opinion.picture);
    return {};
  }

  Status add_unit(const std::string& serial, Pictures& out) {
    const auto looks = records::rows<records::UnitLookRow>(station_.store(), {serial});
    if (!looks) return tl::unexpected(looks.error());
    for (const records::UnitLookRow& look : *looks)
      if (Status added = add_look(look.look, out); !added) return added;
    return {};
  }

  records::Records& station_;
};

// Reading while asking for rows is two readings at once; so entries are read first, those that can
// call for a picture.
Result<std::vector<std::pair<std::int64_t, domain::Happening>>> callers(
    records::JournalStore& store, const std::string& journal, std::int64_t from, std::int64_t to) {
  static const std::set<std::string_view> kinds = {
      domain::kind_of(domain::FindingAdded{}),         domain::kind_of(domain::PartJudged{}),
      domain::kind_of(domain::LookClosed{}),           domain::kind_of(domain::SerialDisputed{}),
      domain::kind_of(domain::DispositionCorrected{}), domain::kind_of(domain::ClaimOpened{})};
  std::vector<std::pair<std::int64_t, domain::Happening>> out;
  Status decoded;
  const Status read = store.entries(journal, from, [&](const records::Entry& entry) {
    if (entry.seq > to) return false;
    if (!kinds.contains(entry.kind)) return true;
    auto happening = records::decode(entry);
    if (happening)
      out.emplace_back(entry.seq, *std::move(happening));
    else
      decoded = tl::unexpected(happening.error());
    return decoded.has_value();
  });
  if (!read) return tl::unexpected(read.error());
  if (!decoded) return tl::unexpected(decoded.error());
  return out;
}

}  // namespace

Result<std::vector<CalledFor>> pictures_called_for(records::Records& station,
                                                   const std::string& journal, std::int64_t from,
                                                   std::int64_t to) {
  const auto entries = callers(station.store(), journal, from, to);
  if (!entries) return tl::unexpected(entries.error());
  Choice choice(station);
  std::vector<CalledFor> out;
  for (const auto& [seq, happening] : *entries) {
    const auto pictures = choice.of(happening);
    if (!pictures) return tl::unexpected(pictures.error());
    for (const std::string& picture : *pictures) out.push_back({seq, picture});
  }
  return out;
}

}  // namespace lastlook::sync
