// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/tables.h"

#include <fmt/format.h>

#include <limits>
#include <type_traits>

#include "kiosk/records/fields.h"

namespace lastlook::records {
namespace {

template <class Io>
void fields(Io& io, Either<StationStateRow> auto& it) {
  io("journal", it.journal);
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("hash", it.hash);
  io("master_revision", it.master_revision);
  io("signed_seq", it.signed_seq);
  io("wall_us", it.wall_us);
  io("offset_min", it.offset_min);
}
template <class Io>
void fields(Io& io, Either<MasterRow> auto& it) {
  io("station", it.station);
  io("revision", it.revision);
  io("approved_by", it.approved_by);
  io("document", it.document);
  io("journal", it.journal);
  io("generation", it.generation);
  io("seq", it.seq);
}
template <class Io>
void fields(Io& io, Either<UnitRow> auto& it) {
  io("serial", it.serial);
  io("disputed", it.disputed);
}
template <class Io>
void fields(Io& io, Either<UnitBuildRow> auto& it) {
  io("serial", it.serial);
  io("station", it.station);
  io("variant", it.variant);
  io("built_us", it.built_us);
  io("made", it.made);
}
template <class Io>
void fields(Io& io, Either<UnitPartRow> auto& it) {
  io("serial", it.serial);
  io("station", it.station);
  io("part", it.part);
  io("lot", it.lot);
  io("fitted_us", it.fitted_us);
  io("replaced_us", it.replaced_us);
}
template <class Io>
void fields(Io& io, Either<UnitLookRow> auto& it) {
  io("serial", it.serial);
  io("look", it.look);
}
template <class Io>
void fields(Io& io, Either<UpstreamResultRow> auto& it) {
  io("serial", it.serial);
  io("station", it.station);
  io("nth", it.nth);
  io("test", it.test);
  io("passed", it.passed);
  io("value", it.value);
  io("measured_us", it.measured_us);
  io("arrived_us", it.arrived_us);
  io("on_paper", it.on_paper);
  io("first_person", it.first_person);
  io("second_person", it.second_person);
  io("voided_by", it.voided_by);
}
template <class Io>
void fields(Io& io, Either<LookRow> auto& it) {
  io("look", it.look);
  io("journal", it.journal);
  io("station", it.station);
  io("serial", it.serial);
  io("ticket", it.ticket);
  io("number", it.number);
  io("variant", it.variant);
  io("variant_source", it.variant_source);
  io("tag_type", it.tag_type);
  io("revision", it.revision);
  io("state", it.state);
  io("opened_us", it.opened_us);
  io("parked_us", it.parked_us);
  io("closed_us", it.closed_us);
  io("park_reason", it.park_reason);
  io("disposition", it.disposition);
  io("why", it.why);
  io("concession", it.concession);
  io("closed_by", it.closed_by);
  io("closed_seq", it.closed_seq);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
  io("second_of", it.second_of);
}
template <class Io>
void fields(Io& io, Either<SecondLookRow> auto& it) {
  io("serial", it.serial);
  io("look", it.look);
  io("station", it.station);
  io("variant", it.variant);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("rate", it.rate);
  io("number", it.number);
  io("first", it.first);
  io("first_by", it.first_by);
  io("drawn_us", it.drawn_us);
  io("state", it.state);
  io("second_look", it.second_look);
  io("second", it.second);
  io("second_by", it.second_by);
  io("done_us", it.done_us);
}
template <class Io>
void fields(Io& io, Either<CorrectionRow> auto& it) {
  io("look", it.look);
  io("nth", it.nth);
  io("before", it.before);
  io("after", it.after);
  io("why_before", it.why_before);
  io("why", it.why);
  io("person", it.person);
  io("corrected_us", it.corrected_us);
}
template <class Io>
void fields(Io& io, Either<OpenLookEntryRow> auto& it) {
  io("look", it.look);
  io("generation", it.generation);
  io("seq", it.seq);
  io("journal", it.journal);
}
template <class Io>
void fields(Io& io, Either<WaitingRow> auto& it) {
  io("look", it.look);
  io("serial", it.serial);
  io("ticket", it.ticket);
  io("variant", it.variant);
  io("why", it.why);
  io("parked", it.parked);
  io("since_us", it.since_us);
}
template <class Io>
void fields(Io& io, Either<StepAnswerRow> auto& it) {
  io("look", it.look);
  io("component", it.component);
  io("answer", it.answer);
  io("first_answer", it.first_answer);
  io("opinion_shown", it.opinion_shown);
  io("corrections", it.corrections);
  io("person", it.person);
  io("answered_us", it.answered_us);
}
template <class Io>
void fields(Io& io, Either<FindingRow> auto& it) {
  io("look", it.look);
  io("finding", it.finding);
  io("component", it.component);
  io("defect", it.defect);
  io("severity", it.severity);
  io("place_x", it.place_x);
  io("place_y", it.place_y);
  io("picture", it.picture);
  io("note", it.note);
  io("person", it.person);
  io("found_us", it.found_us);
  io("withdrawn", it.withdrawn);
  io("withdrawn_why", it.withdrawn_why);
  io("first_look", it.first_look);
}
template <class Io>
void fields(Io& io, Either<OpinionRow> auto& it) {
  io("look", it.look);
  io("component", it.component);
  io("opinion", it.opinion);
  io("conforming", it.conforming);
  io("score", it.score);
  io("reason", it.reason);
  io("reason_value", it.reason_value);
  io("x", it.x);
  io("y", it.y);
  io("w", it.w);
  io("h", it.h);
  io("frame", it.frame);
  io("model", it.model);
  io("picture", it.picture);
  io("given_us", it.given_us);
}
template <class Io>
void fields(Io& io, Either<FirstOpinionRow> auto& it) {
  io("station", it.station);
  io("variant", it.variant);
  io("model", it.model);
  io("given_us", it.given_us);
}
template <class Io>
void fields(Io& io, Either<ConcessionRow> auto& it) {
  io("station", it.station);
  io("number", it.number);
  io("authority", it.authority);
  io("variant", it.variant);
  io("component", it.component);
  io("defect", it.defect);
  io("quantity", it.quantity);
  io("expires_us", it.expires_us);
  io("used", it.used);
}
template <class Io>
void fields(Io& io, Either<ShowingRow> auto& it) {
  io("showing", it.showing);
  io("journal", it.journal);
  io("station", it.station);
  io("part", it.part);
  io("variant", it.variant);
  io("state", it.state);
  io("shown_us", it.shown_us);
  io("ended_us", it.ended_us);
  io("shown_by", it.shown_by);
  io("why_left", it.why_left);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("model", it.model);
  io("picture", it.picture);
  io("proof", it.proof);
  io("unmet", it.unmet);
}
template <class Io>
void fields(Io& io, Either<ShowingOpinionRow> auto& it) {
  io("showing", it.showing);
  io("component", it.component);
  io("opinion", it.opinion);
  io("conforming", it.conforming);
  io("score", it.score);
  io("reason", it.reason);
  io("reason_value", it.reason_value);
  io("met", it.met);
}
template <class Io>
void fields(Io& io, Either<ProofEntryRow> auto& it) {
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("journal", it.journal);
  io("production_date", it.production_date);
  io("shift", it.shift);
}
template <class Io>
void fields(Io& io, Either<ApprovedModelRow> auto& it) {
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("journal", it.journal);
}
template <class Io>
void fields(Io& io, Either<LocalTimeRow> auto& it) {
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("since_us", it.since_us);
  io("offset_min", it.offset_min);
}
template <class Io>
void fields(Io& io, Either<StoppedRow> auto& it) {
  io("journal", it.journal);
  io("station", it.station);
  io("seq", it.seq);
  io("entries", it.entries);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<StudyRow> auto& it) {
  io("study", it.study);
  io("station", it.station);
  io("plan", it.plan);
  io("planned_by", it.planned_by);
  io("planned_us", it.planned_us);
  io("rated", it.rated);
  io("ended_us", it.ended_us);
  io("why_ended", it.why_ended);
  io("wanted", it.wanted);
}
template <class Io>
void fields(Io& io, Either<StudyRatingRow> auto& it) {
  io("study", it.study);
  io("nth", it.nth);
  io("person", it.person);
  io("trial", it.trial);
  io("item", it.item);
  io("rating", it.rating);
  io("rated_us", it.rated_us);
}
template <class Io>
void fields(Io& io, Either<HandoverNoteRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("station", it.station);
  io("journal", it.journal);
  io("seq", it.seq);
  io("noted_us", it.noted_us);
  io("note", it.note);
}
template <class Io>
void fields(Io& io, Either<ClaimRow> auto& it) {
  io("serial", it.serial);
  io("claim", it.claim);
  io("station", it.station);
  io("reported", it.reported);
  io("complaint", it.complaint);
  io("opened_us", it.opened_us);
  io("verdict", it.verdict);
  io("component", it.component);
  io("defect", it.defect);
  io("why", it.why);
  io("judged_us", it.judged_us);
}
template <class Io>
void fields(Io& io, Either<HoldReleaseRow> auto& it) {
  io("look", it.look);
  io("serial", it.serial);
  io("station", it.station);
  io("released_us", it.released_us);
  io("person", it.person);
  io("second_person", it.second_person);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<SignInAllowanceRow> auto& it) {
  io("station", it.station);
  io("person", it.person);
  io("despite", it.despite);
  io("allowed_by", it.allowed_by);
  io("why", it.why);
  io("allowed_us", it.allowed_us);
  io("until_us", it.until_us);
}
template <class Io>
void fields(Io& io, Either<PrunedPictureRow> auto& it) {
  io("picture", it.picture);
  io("station", it.station);
  io("pruned_us", it.pruned_us);
}
template <class Io>
void fields(Io& io, Either<CountLookRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
  io("station", it.station);
  io("variant", it.variant);
  io("looks", it.looks);
  io("first_looks", it.first_looks);
  io("first_pass", it.first_pass);
  io("accept", it.accept);
  io("rework", it.rework);
  io("hold", it.hold);
  io("scrap", it.scrap);
}
template <class Io>
void fields(Io& io, Either<CountDefectRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
  io("station", it.station);
  io("variant", it.variant);
  io("component", it.component);
  io("defect", it.defect);
  io("severity", it.severity);
  io("findings", it.findings);
  io("units", it.units);
}

struct ColumnCollector {
  Table table;
  template <class T>
  void operator()(const char* name, const T&) {
    table.columns.push_back(name);
    table.types.push_back(type_of(static_cast<T*>(nullptr)));
  }

 private:
  template <class T>
  static ColumnType type_of(T*) {
    if constexpr (std::is_same_v<T, double>)
      return ColumnType::number;
    else
      return std::is_integral_v<T> ? ColumnType::whole : ColumnType::text;
  }
  static ColumnType type_of(std::optional<double>*) { return ColumnType::number; }
  template <class Word>
  requires std::is_enum_v<Word>
  static ColumnType type_of(std::optional<Word>*) { return ColumnType::text_or_none; }
};

class RowWriter {
 public:
  explicit RowWriter(Row& row) : row_(row) {}

  template <class T>
  void operator()(const char*, const T& value) {
    row_.push_back(written(value));
  }

 private:
  template <class T>
  static Value written(const T& value) {
    if constexpr (std::is_enum_v<T>) {
      return std::string(domain::to_word(value));
    } else if constexpr (std::is_integral_v<T>) {
      return std::int64_t{value};
    } else {
      return value;
    }
  }
  template <class T>
  static Value written(const std::optional<T>& value) {
    return value ? written(*value) : Value();
  }

  Row& row_;
};

class RowReader {
 public:
  explicit RowReader(const Row& row) : row_(row) {}

  template <class T>
  void operator()(const char* name, T& value) {
    if (next_ >= row_.size() || !read(row_[next_++], value)) {
      if (wrong_.empty()) wrong_ = name;
    }
  }

  const std::string& wrong() const { return wrong_; }  // the first column that is; empty: none

 private:
  template <class T>
  static bool read(const Value& from, T& value) {
    if constexpr (std::is_enum_v<T>) {
      const auto* text = std::get_if<std::string>(&from);
      const auto word = text ? domain::from_word<T>(*text) : std::nullopt;
      if (word) value = *word;
      return word.has_value();
    } else if constexpr (std::is_integral_v<T>) {
      const auto* whole = std::get_if<std::int64_t>(&from);
      if (whole) value = static_cast<T>(*whole);
      return whole != nullptr;
    } else if constexpr (std::is_same_v<T, double>) {
      // A number that is not one was stored as null.
      const auto* number = std::get_if<double>(&from);
      value = number ? *number : std::numeric_limits<double>::quiet_NaN();
      return number || std::holds_alternative<std::monostate>(from);
    } else {
      const auto* text = std::get_if<T>(&from);
      if (text) value = *text;
      return text != nullptr;
    }
  }
  template <class T>
  static bool read(const Value& from, std::optional<T>& value) {
    value.reset();
    return std::holds_alternative<std::monostate>(from) || read(from, value.emplace());
  }

  const Row& row_;
  std::size_t next_ = 0;
  std::string wrong_;
};

template <class T>
Result<T> read_row(const Row& row) {
  T typed;
  RowReader io(row);
  fields(io, typed);
  if (!io.wrong().empty())
    return fail(Category::damaged,
                fmt::format("table {}: column {} holds what it cannot", T::table, io.wrong()));
  return typed;
}

}  // namespace

template <class T>
const Table& table_of() {
  static const Table table = [] {
    ColumnCollector io{{T::table, {}, T::key_columns, {}}};
    const T row;
    fields(io, row);
    return io.table;
  }();
  return table;
}

template <class T>
Result<std::optional<T>> find(Store& store, const Row& key) {
  const auto row = store.find(table_of<T>(), key);
  if (!row) return tl::unexpected(row.error());
  if (!*row) return std::nullopt;
  auto typed = read_row<T>(**row);
  if (!typed) return tl::unexpected(typed.error());
  return std::optional<T>(*std::move(typed));
}

template <class T>
Status put(Store& store, const T& typed) {
  Row row;
  RowWriter io(row);
  fields(io, typed);
  return store.put(table_of<T>(), row);
}

template <class T>
Status erase(Store& store, const Row& key) {
  return store.erase(table_of<T>(), key);
}

template <class T>
Result<std::vector<T>> rows(Store& store, const Row& prefix) {
  std::vector<T> all;
  Status wrong;
  const Status done = store.rows(table_of<T>(), prefix, [&](const Row& row) {
    auto typed = read_row<T>(row);
    if (typed)
      all.push_back(*std::move(typed));
    else
      wrong = tl::unexpected(typed.error());
    return wrong.has_value();
  });
  if (!done) return tl::unexpected(done.error());
  if (!wrong) return tl::unexpected(wrong.error());
  return all;
}

#define LASTLOOK_TABLE(Row_)                                     \
  template const Table& table_of<Row_>();                        \
  template Result<std::optional<Row_>> find(Store&, const Row&); \
  template Status put(Store&, const Row_&);                      \
  template Status erase<Row_>(Store&, const Row&);               \
  template Result<std::vector<Row_>> rows(Store&, const Row&);

LASTLOOK_TABLE(StationStateRow)
LASTLOOK_TABLE(MasterRow)
LASTLOOK_TABLE(UnitRow)
LASTLOOK_TABLE(UnitBuildRow)
LASTLOOK_TABLE(UnitPartRow)
LASTLOOK_TABLE(UnitLookRow)
LASTLOOK_TABLE(UpstreamResultRow)
LASTLOOK_TABLE(LookRow)
LASTLOOK_TABLE(SecondLookRow)
LASTLOOK_TABLE(CorrectionRow)
LASTLOOK_TABLE(OpenLookEntryRow)
LASTLOOK_TABLE(WaitingRow)
LASTLOOK_TABLE(StepAnswerRow)
LASTLOOK_TABLE(FindingRow)
LASTLOOK_TABLE(OpinionRow)
LASTLOOK_TABLE(FirstOpinionRow)
LASTLOOK_TABLE(ConcessionRow)
LASTLOOK_TABLE(ShowingRow)
LASTLOOK_TABLE(ShowingOpinionRow)
LASTLOOK_TABLE(ProofEntryRow)
LASTLOOK_TABLE(ApprovedModelRow)
LASTLOOK_TABLE(StoppedRow)
LASTLOOK_TABLE(LocalTimeRow)
LASTLOOK_TABLE(StudyRow)
LASTLOOK_TABLE(StudyRatingRow)
LASTLOOK_TABLE(HandoverNoteRow)
LASTLOOK_TABLE(ClaimRow)
LASTLOOK_TABLE(HoldReleaseRow)
LASTLOOK_TABLE(SignInAllowanceRow)
LASTLOOK_TABLE(PrunedPictureRow)
LASTLOOK_TABLE(CountLookRow)
LASTLOOK_TABLE(CountDefectRow)
#undef LASTLOOK_TABLE

const std::vector<const Table*>& all_tables() {
  static const std::vector<const Table*> all = {&table_of<StationStateRow>(),
                                                &table_of<MasterRow>(),
                                                &table_of<UnitRow>(),
                                                &table_of<UnitBuildRow>(),
                                                &table_of<UnitLookRow>(),
                                                &table_of<UpstreamResultRow>(),
                                                &table_of<LookRow>(),
                                                &table_of<CorrectionRow>(),
                                                &table_of<OpenLookEntryRow>(),
                                                &table_of<WaitingRow>(),
                                                &table_of<StepAnswerRow>(),
                                                &table_of<FindingRow>(),
                                                &table_of<OpinionRow>(),
                                                &table_of<ConcessionRow>(),
                                                &table_of<ShowingRow>(),
                                                &table_of<ShowingOpinionRow>(),
                                                &table_of<ProofEntryRow>(),
                                                &table_of<ApprovedModelRow>(),
                                                &table_of<CountLookRow>(),
                                                &table_of<CountDefectRow>(),
                                                &table_of<SecondLookRow>(),
                                                &table_of<StoppedRow>(),
                                                &table_of<LocalTimeRow>(),
                                                &table_of<StudyRow>(),
                                                &table_of<StudyRatingRow>(),
                                                &table_of<HandoverNoteRow>(),
                                                &table_of<ClaimRow>(),
                                                &table_of<PrunedPictureRow>(),
                                                &table_of<HoldReleaseRow>(),
                                                &table_of<UnitPartRow>(),
                                                &table_of<SignInAllowanceRow>(),
                                                &table_of<FirstOpinionRow>()};
  return all;
}

}  // namespace lastlook::records
