// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/tables.h"

#include <fmt/format.h>

#include <limits>
#include <type_traits>

#include "kiosk/records/row_fields.h"

namespace lastlook::records {
namespace {

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
LASTLOOK_TABLE(ReactionRow)
LASTLOOK_TABLE(HelpCallRow)
LASTLOOK_TABLE(ViewingCheckRow)
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
                                                &table_of<FirstOpinionRow>(),
                                                &table_of<ReactionRow>(),
                                                &table_of<HelpCallRow>(),
                                                &table_of<ViewingCheckRow>()};
  return all;
}

}  // namespace lastlook::records
