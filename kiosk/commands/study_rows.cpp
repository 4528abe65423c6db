// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/study_rows.h"

#include <fmt/format.h>

#include <map>
#include <tuple>

#include "kiosk/commands/output.h"
#include "kiosk/records/study_queries.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using analytics::Study;
using analytics::StudyRow;

constexpr std::string_view kHeader = "item,inspector,trial,rating[,reference,defect]";
constexpr std::string_view kConforming = "conforming";
constexpr std::string_view kNonconforming = "nonconforming";
constexpr std::string_view kUnsure = "unsure";

using RowsByDefect = std::vector<std::pair<std::string, std::vector<StudyRow>>>;

class RatingReader {
 public:
  explicit RatingReader(text::CsvReader& csv) : csv_(csv) {}

  Result<RowsByDefect> read_all() {
    if (const Status s = find_columns(); !s) return tl::unexpected(s.error());
    RowsByDefect all;
    std::map<std::string, std::size_t, std::less<>> place;
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) break;
      std::string defect;
      const Result<StudyRow> row = read_row(defect);
      if (!row) return tl::unexpected(row.error());
      const auto [found, is_new] = place.try_emplace(defect, all.size());
      if (is_new) all.emplace_back(defect, std::vector<StudyRow>{});
      all[found->second].second.push_back(*row);
    }
    if (all.empty()) all.emplace_back();  // no row is an error of the study
    return all;
  }

 private:
  Status find_columns() {
    for (const char* name : {"item", "inspector", "trial", "rating"}) {
      const Result<std::size_t> column = csv_.require(name, kHeader);
      if (!column) return tl::unexpected(column.error());
      columns_.push_back(*column);
    }
    reference_ = csv_.find("reference");
    defect_ = csv_.find("defect");
    return {};
  }

  Result<StudyRow> read_row(std::string& defect) const {
    StudyRow row;
    row.line = csv_.line();
    using Field = std::pair<std::optional<std::size_t>, std::string*>;
    for (const auto& [column, text] : {Field{columns_[0], &row.item},
                                       {columns_[1], &row.inspector},
                                       {columns_[2], &row.trial},
                                       {defect_, &defect}}) {
      if (!column) continue;
      const Result<std::string_view> words = csv_.name(*column);
      if (!words) return tl::unexpected(words.error());
      *text = *words;
    }
    for (const auto& [column, text] :
         {Field{columns_[3], &row.rating}, {reference_, &row.reference}}) {
      if (!column || csv_.blank(*column)) continue;
      const Result<std::string_view> words = csv_.name(*column);
      if (!words) return tl::unexpected(words.error());
      *text = *words;
    }
    return row;
  }

  text::CsvReader& csv_;
  std::vector<std::size_t> columns_;
  std::optional<std::size_t> reference_;
  std::optional<std::size_t> defect_;
};

// What one defect adds to a disposition.
void add_word(std::string& sum, bool& missing, const std::string& word, const Study& study) {
  if (word.empty()) {
    missing = true;
    return;
  }
  const auto found = std::find(study.categories.begin(), study.categories.end(), word);
  const auto category = static_cast<std::size_t>(found - study.categories.begin());
  if (category == study.good) {
    if (sum.empty()) sum = kConforming;
  } else if (category == study.unsure) {
    if (sum != kNonconforming) sum = kUnsure;
  } else {
    sum = kNonconforming;
  }
}

// A rejection stands whatever is missing beside it; nothing else does.
std::string whole(const std::string& sum, bool missing) {
  return missing && sum != kNonconforming ? "" : sum;
}

std::vector<StudyRow> disposition_rows(const RowsByDefect& by_defect,
                                       const std::vector<NamedStudy>& studies) {
  struct Sum {
    StudyRow row;
    bool rating_missing = false;
    bool reference_missing = false;
  };
  std::vector<Sum> sums;
  std::map<std::tuple<std::string, std::string, std::string>, std::size_t> place;
  for (std::size_t d = 0; d < by_defect.size(); ++d) {
    for (const StudyRow& row : by_defect[d].second) {
      const auto [found, is_new] =
          place.try_emplace({row.item, row.inspector, row.trial}, sums.size());
      if (is_new) sums.push_back({{row.item, row.inspector, row.trial, "", "", row.line}});
      Sum& sum = sums[found->second];
      add_word(sum.row.rating, sum.rating_missing, row.rating, studies[d].study);
      add_word(sum.row.reference, sum.reference_missing, row.reference, studies[d].study);
    }
  }
  std::vector<StudyRow> rows;
  for (Sum& sum : sums) {
    sum.row.rating = whole(sum.row.rating, sum.rating_missing);
    sum.row.reference = whole(sum.row.reference, sum.reference_missing);
    rows.push_back(std::move(sum.row));
  }
  return rows;
}

}  // namespace

Result<std::vector<NamedStudy>> read_studies(const std::string& file, const std::string& good) {
  Result<text::CsvReader> csv = text::CsvReader::open(file);
  if (!csv) return tl::unexpected(csv.error());
  const bool with_defects = csv->find("defect").has_value();
  const Result<RowsByDefect> by_defect = RatingReader(*csv).read_all();
  if (!by_defect) return tl::unexpected(by_defect.error());
  std::vector<NamedStudy> studies;
  for (const auto& [defect, rows] : *by_defect) {
    Result<Study> study = analytics::make_study(rows, good);
    if (!study) return in_file(file, study.error());
    if (with_defects && !study->good) {
      return in_file(file, {Category::bad_input,
                            fmt::format("defect '{}': no rating is known to mean conforming, "
                                        "expected --good RATING",
                                        defect)});
    }
    studies.push_back({defect, std::move(*study)});
  }
  if (!with_defects) return studies;
  Result<Study> disposition = analytics::make_study(disposition_rows(*by_defect, studies));
  if (!disposition) return in_file(file, disposition.error());
  studies.insert(studies.begin(), {"", std::move(*disposition)});
  return studies;
}

Result<std::vector<NamedStudy>> recorded_study(const OpenSource& source, const std::string& id) {
  const auto record = records::study(source.view(), id);
  if (!record) return tl::unexpected(record.error());
  if (!*record)
    return fail(Category::not_found,
                fmt::format("--study {}: there is none of this id, see 'lastlook study list'", id));
  if ((*record)->ratings.empty())
    return fail(Category::refused, fmt::format("study {}: nobody has rated an item yet", id));
  auto study = domain::rated_study(**record);
  if (!study) return tl::unexpected(study.error());
  return std::vector<NamedStudy>{{"", *std::move(study)}};
}

}  // namespace lastlook::commands
