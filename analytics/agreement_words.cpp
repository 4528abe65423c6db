// SPDX-License-Identifier: Apache-2.0
// What a study says, in words: sentences, warnings and the handbook's bands.
#include <fmt/format.h>

#include "analytics/agreement.h"

namespace lastlook::analytics {
namespace {

Band band(double value, double acceptable, double marginal) {
  if (value <= acceptable) return Band::acceptable;
  return value <= marginal ? Band::marginal : Band::unacceptable;
}

}  // namespace

std::string in_a_sentence(const ReferenceAgreement& agreement) {
  const auto part = [](std::string_view verb, const DecisionRate& rate, std::string_view kind) {
    if (!rate.value) return fmt::format("{} items: {}", kind, rate.value.error().message);
    const bool repeated = rate.decisions > rate.items;
    return fmt::format("{} {} of {}{} {}{}{}", verb, rate.hits, rate.decisions,
                       repeated ? " looks at" : "",
                       repeated ? std::to_string(rate.items) + " " : "", kind,
                       rate.unsure > 0 ? fmt::format(" ({} unsure)", rate.unsure) : "");
  };
  if (!agreement.miss.value && !agreement.false_alarm.value)
    return agreement.miss.value.error().message;
  return part("missed", agreement.miss, "bad") + ", " +
         part("stopped", agreement.false_alarm, "good");
}

std::string kappa_warning(const PairAgreement& pair, const Study& study) {
  if (!pair.kappa || !pair.indices || study.categories.size() != 2) return {};
  const std::string who =
      fmt::format("{} and {}", study.inspectors[pair.a], study.inspectors[pair.b]);
  if (pair.indices->pabak - pair.kappa->value >= 0.2) {
    return fmt::format(
        "{} agree on {:.0f} % of the looks; kappa is only {:.2f} because nearly all items are of "
        "one "
        "kind: study more of the rare kind before judging it",
        who, 100 * pair.kappa->observed, pair.kappa->value);
  }
  if (pair.indices->bias_index >= 0.15) {
    return fmt::format(
        "{} reject at clearly different rates, which kappa does not show: look at their "
        "miss and false alarm rates",
        who);
  }
  return {};
}

Band effectiveness_band(double value) {
  return band(1 - value, 0.10 + 1e-12, 0.20 + 1e-12);
}
Band miss_band(double rate) {
  return band(rate, 0.02, 0.05);
}
Band false_alarm_band(double rate) {
  return band(rate, 0.05, 0.10);
}

std::string_view name_of(Band band) {
  switch (band) {
    case Band::acceptable:
      return "acceptable";
    case Band::marginal:
      return "marginal";
    case Band::unacceptable:
      return "unacceptable";
  }
  return "";
}

}  // namespace lastlook::analytics
