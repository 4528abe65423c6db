// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/words.h"

#include <array>
#include <utility>

namespace lastlook::domain {
namespace {

template <class Word>
using Spelling = std::pair<Word, std::string_view>;

// One table a type; both directions read it.
template <class Word>
struct Spellings;

#define LASTLOOK_SPELL(Word, ...)                                             \
  template <>                                                                 \
  struct Spellings<Word> {                                                    \
    static constexpr auto table = std::to_array<Spelling<Word>>(__VA_ARGS__); \
  };                                                                          \
  std::string_view spell(Word value) {                                        \
    for (const auto& [known, word] : Spellings<Word>::table)                  \
      if (known == value) return word;                                        \
    return "?";                                                               \
  }

LASTLOOK_SPELL(Expectation, {{Expectation::present, "present"}, {Expectation::absent, "absent"}})
LASTLOOK_SPELL(Answer, {{Answer::not_answered, "not_answered"},
                        {Answer::conforming, "conforming"},
                        {Answer::nonconforming, "nonconforming"}})
LASTLOOK_SPELL(Severity, {{Severity::critical, "critical"},
                          {Severity::major, "major"},
                          {Severity::minor, "minor"}})
LASTLOOK_SPELL(Manner, {{Manner::look, "look"},
                        {Manner::turn, "turn"},
                        {Manner::touch, "touch"},
                        {Manner::tug, "tug"}})
LASTLOOK_SPELL(Disposition, {{Disposition::accept, "accept"},
                             {Disposition::rework, "rework"},
                             {Disposition::hold, "hold"},
                             {Disposition::scrap, "scrap"}})
LASTLOOK_SPELL(Opinion, {{Opinion::present, "present"},
                         {Opinion::absent, "absent"},
                         {Opinion::not_right, "not_right"},
                         {Opinion::unsure, "unsure"}})
LASTLOOK_SPELL(VariantSource, {{VariantSource::not_known, "not_known"},
                               {VariantSource::build_record, "build_record"},
                               {VariantSource::inspector, "inspector"}})
LASTLOOK_SPELL(Role, {{Role::inspector, "inspector"},
                      {Role::supervisor, "supervisor"},
                      {Role::quality_engineer, "quality_engineer"},
                      {Role::administrator, "administrator"}})
LASTLOOK_SPELL(UpstreamTest, {{UpstreamTest::dimensions, "dimensions"},
                              {UpstreamTest::leak, "leak"},
                              {UpstreamTest::fill_mass, "fill_mass"},
                              {UpstreamTest::torque_angle, "torque_angle"},
                              {UpstreamTest::functional, "functional"}})
LASTLOOK_SPELL(AwayRule, {{AwayRule::local_file, "local_file"},
                          {AwayRule::paper_two_people, "paper_two_people"},
                          {AwayRule::wait, "wait"}})
LASTLOOK_SPELL(RevisionRule, {{RevisionRule::quality_engineer, "quality_engineer"},
                              {RevisionRule::two_people, "two_people"}})
LASTLOOK_SPELL(HoldRule, {{HoldRule::anyone, "anyone"},
                          {HoldRule::supervisor, "supervisor"},
                          {HoldRule::two_people, "two_people"}})
LASTLOOK_SPELL(Bar, {{Bar::locked_out, "locked_out"}, {Bar::not_qualified, "not_qualified"}})
LASTLOOK_SPELL(ClaimVerdict,
               {{ClaimVerdict::escaped, "escaped"}, {ClaimVerdict::not_visible, "not_visible"}})
LASTLOOK_SPELL(ConcessionState, {{ConcessionState::valid, "valid"},
                                 {ConcessionState::expired, "expired"},
                                 {ConcessionState::used_up, "used_up"}})
LASTLOOK_SPELL(ParkReason, {{ParkReason::waiting_for_result, "waiting_for_result"},
                            {ParkReason::shift_change, "shift_change"},
                            {ParkReason::needs_advice, "needs_advice"},
                            {ParkReason::other, "other"}})
#undef LASTLOOK_SPELL

}  // namespace

std::string_view to_word(Expectation value) {
  return spell(value);
}
std::string_view to_word(Answer value) {
  return spell(value);
}
std::string_view to_word(Severity value) {
  return spell(value);
}
std::string_view to_word(Manner value) {
  return spell(value);
}
std::string_view to_word(Disposition value) {
  return spell(value);
}
std::string_view to_word(Opinion value) {
  return spell(value);
}
std::string_view to_word(VariantSource value) {
  return spell(value);
}
std::string_view to_word(Role value) {
  return spell(value);
}
std::string_view to_word(UpstreamTest value) {
  return spell(value);
}
std::string_view to_word(AwayRule value) {
  return spell(value);
}
std::string_view to_word(HoldRule value) {
  return spell(value);
}
std::string_view to_word(RevisionRule value) {
  return spell(value);
}
std::string_view to_word(Bar value) {
  return spell(value);
}
std::string_view to_word(ClaimVerdict value) {
  return spell(value);
}
std::string_view to_word(ConcessionState value) {
  return spell(value);
}
std::string_view to_word(ParkReason value) {
  return spell(value);
}

template <class Word>
std::optional<Word> from_word(std::string_view word) {
  for (const auto& [value, known] : Spellings<Word>::table)
    if (known == word) return value;
  return std::nullopt;
}

template std::optional<Expectation> from_word(std::string_view);
template std::optional<Answer> from_word(std::string_view);
template std::optional<Severity> from_word(std::string_view);
template std::optional<Manner> from_word(std::string_view);
template std::optional<Disposition> from_word(std::string_view);
template std::optional<Opinion> from_word(std::string_view);
template std::optional<VariantSource> from_word(std::string_view);
template std::optional<Role> from_word(std::string_view);
template std::optional<UpstreamTest> from_word(std::string_view);
template std::optional<AwayRule> from_word(std::string_view);
template std::optional<HoldRule> from_word(std::string_view);
template std::optional<RevisionRule> from_word(std::string_view);
template std::optional<Bar> from_word(std::string_view);
template std::optional<ClaimVerdict> from_word(std::string_view);
template std::optional<ConcessionState> from_word(std::string_view);
template std::optional<ParkReason> from_word(std::string_view);

}  // namespace lastlook::domain
