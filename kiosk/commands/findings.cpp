// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/findings.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <optional>

#include "kiosk/commands/progress.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

constexpr std::string_view kHeader =
    "defect,count[,severity,cost], or defect alone with one finding a row";

class FindingReader {
 public:
  FindingReader(text::CsvReader& csv, const FindingQuery& query) : csv_(csv), query_(query) {}

  Status read_all(const OnFinding& each) {
    if (const Status s = find_columns(); !s) return s;
    Progress bar("reading");
    for (std::int64_t row = 0;; ++row) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) return {};
      if (row % 65536 == 0) bar.show(static_cast<int>(1000 * csv_.progress()), 1000);
      if (!wanted()) continue;
      if (const Status s = read_row(); !s) return s;
      each(finding_);
    }
  }

 private:
  Result<std::size_t> column(const std::string& name) const { return csv_.require(name, kHeader); }

  Status find_columns() {
    for (const std::string& name : query_.kinds) {
      const Result<std::size_t> kind = column(name);
      if (!kind) return tl::unexpected(kind.error());
      kinds_.push_back(*kind);
    }
    for (const auto& [name, value] : query_.where) {
      const Result<std::size_t> filter = column(name);
      if (!filter) return tl::unexpected(filter.error());
      filters_.emplace_back(*filter, value);
    }
    const std::string weight = query_.by == "count" ? "" : query_.by;
    const std::string count = csv_.find("count") ? "count" : "";
    for (const auto& [name, place] :
         {std::pair{count, &count_}, {weight, &weight_}, {query_.batch, &batch_}}) {
      if (name.empty()) continue;
      const Result<std::size_t> found = column(name);
      if (!found) return tl::unexpected(found.error());
      *place = *found;
    }
    finding_.kinds.resize(kinds_.size());
    return {};
  }

  bool wanted() const {
    for (const auto& [column, value] : filters_) {
      const auto name = csv_.name(column);
      if (!name || *name != value) return false;
    }
    return true;
  }

  Status read_row() {
    for (std::size_t i = 0; i < kinds_.size(); ++i) {
      const Result<std::string_view> kind = csv_.name(kinds_[i]);
      if (!kind) return tl::unexpected(kind.error());
      finding_.kinds[i] = *kind;
    }
    Result<std::int64_t> count = 1;
    if (count_) count = csv_.count(*count_);
    if (!count) return tl::unexpected(count.error());
    finding_.count = *count;
    const Result<double> weight = weight_ ? weight_of(*weight_) : Result<double>(1.0);
    if (!weight) return tl::unexpected(weight.error());
    finding_.weight = *weight;
    if (!batch_) return {};
    const Result<std::string_view> batch = csv_.name(*batch_);
    if (!batch) return tl::unexpected(batch.error());
    finding_.batch = *batch;
    return {};
  }

  // A number is the weight itself; a word is looked up.
  Result<double> weight_of(std::size_t column) {
    if (query_.by == "cost") return csv_.number(column);
    const Result<std::string_view> severity = csv_.name(column);
    if (!severity) return tl::unexpected(severity.error());
    const auto found = query_.weights.find(*severity);
    if (found != query_.weights.end()) return found->second;
    if (const Result<double> number = csv_.number(column)) return *number;
    return csv_.expected(column, fmt::format("a severity of {} or a number, found '{}'",
                                             query_.weights_text, *severity));
  }

  text::CsvReader& csv_;
  const FindingQuery& query_;
  std::vector<std::size_t> kinds_;
  std::vector<std::pair<std::size_t, std::string>> filters_;
  std::optional<std::size_t> count_;
  std::optional<std::size_t> weight_;
  std::optional<std::size_t> batch_;
  Finding finding_;
};

}  // namespace

Status read_findings(const std::string& file, const FindingQuery& query, const OnFinding& each) {
  Result<text::CsvReader> csv = text::CsvReader::open(file);
  if (!csv) return tl::unexpected(csv.error());
  return FindingReader(*csv, query).read_all(each);
}

Result<SeverityWeights> parse_weights(const std::string& text) {
  SeverityWeights weights;
  for (const std::string& part : CLI::detail::split(text, ',')) {
    const auto equals = part.find('=');
    double value = 0;
    if (equals == std::string::npos || equals == 0 ||
        !CLI::detail::lexical_cast(part.substr(equals + 1), value) || !(value >= 0)) {
      return fail(Category::bad_input,
                  fmt::format("--weights: '{}', expected SEVERITY=NUMBER of 0 or more", part));
    }
    weights[part.substr(0, equals)] = value;
  }
  return weights;
}

std::string nested_name(const Finding& finding, std::size_t levels) {
  std::string name(finding.kinds.front());
  for (std::size_t i = 1; i < levels; ++i) {
    name += ": ";
    name += finding.kinds[i];
  }
  return name;
}

}  // namespace lastlook::commands
