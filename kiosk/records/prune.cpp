// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/prune.h"

#include <algorithm>
#include <map>
#include <set>

#include "kiosk/records/audit.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/projection.h"
#include "kiosk/records/replay.h"

namespace lastlook::records {
namespace {

using Hashes = std::set<std::string>;

bool is_answered_well(const StepAnswerRow& answer) {
  return answer.answer == domain::Answer::conforming &&
         answer.first_answer == domain::Answer::conforming && answer.corrections == 0;
}

// What the journal says about files beside it.
class NamedPictures {
 public:
  void take(const domain::Happening& happening) {
    const std::vector<std::string> pictures = pictures_of(happening);
    for (const std::string& picture : pictures) gone_.erase(picture);
    if (const auto* opinion = std::get_if<domain::OpinionGiven>(&happening)) {
      looks_[opinion->look].insert(pictures.begin(), pictures.end());
      if (!std::ranges::all_of(opinion->components,
                               [](const auto& one) { return one.conforming == "yes"; }))
        doubted_.insert(opinion->look);
    } else {
      kept_.insert(pictures.begin(), pictures.end());
    }
    if (const auto* pruned = std::get_if<domain::PicturesPruned>(&happening))
      gone_.insert(pruned->pictures.begin(), pruned->pictures.end());
  }

  const std::map<std::string, Hashes>& looks() const { return looks_; }
  bool is_doubted(const std::string& look) const { return doubted_.contains(look); }
  Hashes& kept() { return kept_; }
  const Hashes& gone() const { return gone_; }

 private:
  std::map<std::string, Hashes> looks_;  // of the camera's opinions about each look
  Hashes doubted_;                       // looks in which one of them was not "yes"
  Hashes kept_;
  Hashes gone_;
};

bool is_beyond_doubt(Rows& rows, const std::string& id, const std::string& before) {
  const auto look = rows.find<LookRow>({id});
  if (!look || look->state != "closed" || look->disposition != domain::Disposition::accept)
    return false;
  if (look->serial.empty() || !look->ticket.empty() || !look->second_of.empty() ||
      !look->concession.empty() || look->production_date >= before)
    return false;
  if (unit_row(rows, look->serial).disputed || !rows.all<ClaimRow>({look->serial}).empty())
    return false;
  return rows.all<FindingRow>({id}).empty() && rows.all<CorrectionRow>({id}).empty() &&
         !rows.find<SecondLookRow>({look->serial, id}) &&
         std::ranges::all_of(rows.all<StepAnswerRow>({id}), is_answered_well);
}

Status read_journals(JournalStore& store, NamedPictures& named) {
  const auto journals = journals_in_order(store);
  if (!journals) return tl::unexpected(journals.error());
  for (const std::string& journal : *journals) {
    Status decoded;
    const Status read = store.entries(journal, 1, [&](const Entry& entry) {
      const auto happening = decode(entry);
      if (!happening) decoded = tl::unexpected(happening.error());
      if (happening) named.take(*happening);
      return happening.has_value();
    });
    if (!read) return read;
    if (!decoded) return decoded;
  }
  return {};
}

}  // namespace

Result<Prunable> prunable(Records& records, const std::string& before) {
  try {
    NamedPictures named;
    need(read_journals(records.store(), named));
    Rows rows(records.store());
    Hashes candidates;
    std::map<std::string, const Hashes*> looks;
    for (const auto& [look, pictures] : named.looks()) {
      const bool may_go = !named.is_doubted(look) && is_beyond_doubt(rows, look, before);
      (may_go ? candidates : named.kept()).insert(pictures.begin(), pictures.end());
      if (may_go) looks.emplace(look, &pictures);
    }
    const Pictures files(records.folder() / "pictures");
    Prunable out;
    const auto take = [&](const std::string& picture, std::vector<std::string>& into) {
      std::error_code gone;
      const auto size = std::filesystem::file_size(files.path_of(picture), gone);
      if (gone) return;
      out.bytes += static_cast<std::int64_t>(size);
      into.push_back(picture);
    };
    for (const std::string& picture : named.gone()) take(picture, out.left);
    for (const std::string& picture : candidates)
      if (!named.kept().contains(picture) && !named.gone().contains(picture))
        take(picture, out.pictures);
    for (const auto& [look, pictures] : looks)
      out.looks += std::ranges::any_of(*pictures, [&](const std::string& picture) {
        return std::ranges::binary_search(out.pictures, picture);
      });
    return out;
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
}

}  // namespace lastlook::records
