// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/pchart_samples.h"

#include <fmt/format.h>

#include <optional>

#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using analytics::ChartKind;
using analytics::ChartSample;

constexpr std::string_view kEventHeader = "event,between[,phase,excluded]";
constexpr std::string_view kHeader = "sample,inspected,nonconforming[,phase,excluded]";

// The words of a column that need not be there; empty where they are not.
Status read_words(const text::CsvReader& csv, std::optional<std::size_t> column,
                  std::string& words) {
  if (!column || csv.blank(*column)) return {};
  const Result<std::string_view> text = csv.name(*column);
  if (!text) return tl::unexpected(text.error());
  words = *text;
  return {};
}

class SampleReader {
 public:
  SampleReader(text::CsvReader& csv, ChartKind kind) : csv_(csv), kind_(kind) {}

  Result<std::vector<ChartSample>> read_all() {
    if (const Status s = find_columns(); !s) return tl::unexpected(s.error());
    std::vector<ChartSample> samples;
    for (;;) {
      const Result<bool> more = csv_.next();
      if (!more) return tl::unexpected(more.error());
      if (!*more) break;
      Result<ChartSample> sample = read_row();
      if (!sample) return tl::unexpected(sample.error());
      samples.push_back(std::move(*sample));
    }
    if (samples.empty())
      return fail(Category::bad_input, csv_.source() + ": line 2: expected at least one sample");
    return samples;
  }

 private:
  Status find_columns() {
    const bool needs_size = kind_ != ChartKind::c || csv_.find("inspected");
    for (const auto& [name, column] :
         {std::pair{"sample", &sample_}, {"nonconforming", &nonconforming_}}) {
      const Result<std::size_t> found = csv_.require(name, kHeader);
      if (!found) return tl::unexpected(found.error());
      *column = *found;
    }
    if (needs_size) {
      const Result<std::size_t> found = csv_.require("inspected", kHeader);
      if (!found) return tl::unexpected(found.error());
      inspected_ = *found;
    }
    phase_ = csv_.find("phase");
    excluded_ = csv_.find("excluded");
    return {};
  }

  Result<ChartSample> read_row() {
    ChartSample sample;
    const Result<std::string_view> name = csv_.name(sample_);
    if (!name) return tl::unexpected(name.error());
    sample.name = *name;
    const Result<std::int64_t> found = csv_.count(nonconforming_);
    if (!found) return tl::unexpected(found.error());
    sample.nonconforming = *found;
    if (inspected_) {
      const Result<std::int64_t> inspected = csv_.count(*inspected_);
      if (!inspected) return tl::unexpected(inspected.error());
      sample.inspected = *inspected;
    }
    if (const Status s = check_counts(sample); !s) return tl::unexpected(s.error());
    if (const Status s = read_words(csv_, phase_, sample.phase); !s)
      return tl::unexpected(s.error());
    if (const Status s = read_words(csv_, excluded_, sample.excluded); !s)
      return tl::unexpected(s.error());
    return sample;
  }

  Status check_counts(const ChartSample& sample) const {
    const bool units =
        kind_ == ChartKind::p || kind_ == ChartKind::np || kind_ == ChartKind::p_prime;
    const std::int64_t most = units ? sample.inspected : INT64_MAX;
    const bool from_nothing = sample.inspected == 0 && sample.nonconforming > 0;
    if (sample.nonconforming <= most && !from_nothing) return {};
    return csv_.expected(nonconforming_, fmt::format("at most the {} inspected, found {}",
                                                     sample.inspected, sample.nonconforming));
  }

  text::CsvReader& csv_;
  ChartKind kind_;
  std::size_t sample_ = 0;
  std::size_t nonconforming_ = 0;
  std::optional<std::size_t> inspected_;
  std::optional<std::size_t> phase_;
  std::optional<std::size_t> excluded_;
};

Result<analytics::RareEvent> read_event(const text::CsvReader& csv, std::size_t name,
                                        std::size_t between, analytics::RareKind kind) {
  analytics::RareEvent event;
  const Result<std::string_view> words = csv.name(name);
  if (!words) return tl::unexpected(words.error());
  event.name = *words;
  if (kind == analytics::RareKind::g) {
    const Result<std::int64_t> units = csv.count(between);
    if (!units) return tl::unexpected(units.error());
    event.between = static_cast<double>(*units);
  } else {
    const Result<double> time = csv.number(between);
    if (!time) return tl::unexpected(time.error());
    event.between = *time;
  }
  if (const Status s = read_words(csv, csv.find("phase"), event.phase); !s)
    return tl::unexpected(s.error());
  if (const Status s = read_words(csv, csv.find("excluded"), event.excluded); !s)
    return tl::unexpected(s.error());
  return event;
}

}  // namespace

Result<std::vector<analytics::RareEvent>> read_events(const std::string& file,
                                                      analytics::RareKind kind) {
  Result<text::CsvReader> csv = text::CsvReader::open(file);
  if (!csv) return tl::unexpected(csv.error());
  const Result<std::size_t> name = csv->require("event", kEventHeader);
  if (!name) return tl::unexpected(name.error());
  const Result<std::size_t> between = csv->require("between", kEventHeader);
  if (!between) return tl::unexpected(between.error());
  std::vector<analytics::RareEvent> events;
  for (;;) {
    const Result<bool> more = csv->next();
    if (!more) return tl::unexpected(more.error());
    if (!*more) return events;
    Result<analytics::RareEvent> event = read_event(*csv, *name, *between, kind);
    if (!event) return tl::unexpected(event.error());
    events.push_back(std::move(*event));
  }
}

Result<std::vector<ChartSample>> read_samples(const std::string& file, ChartKind kind) {
  Result<text::CsvReader> csv = text::CsvReader::open(file);
  if (!csv) return tl::unexpected(csv.error());
  return SampleReader(*csv, kind).read_all();
}

}  // namespace lastlook::commands
