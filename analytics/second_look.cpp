// SPDX-License-Identifier: Apache-2.0
#include "analytics/second_look.h"

#include <fmt/format.h>

#include <algorithm>

#include "analytics/melded_limits.h"

namespace lastlook::analytics {
namespace {

Status check_probabilities(const std::vector<SecondLook>& looks) {
  for (const SecondLook& look : looks) {
    if (look.probability > 0 && look.probability <= 1) continue;
    return fail(Category::bad_input, fmt::format("a probability of {}: expected more than 0 and at "
                                                 "most 1",
                                                 look.probability));
  }
  return {};
}

Status checked(const std::vector<SecondLook>& looks, std::size_t accepted) {
  if (Status s = check_probabilities(looks); !s) return s;
  if (accepted > 0 && accepted < looks.size()) return {};
  return fail(Category::refused,
              fmt::format("no {} unit was looked at again, so that part of the table is not known",
                          accepted == 0 ? "accepted" : "rejected"));
}

// The looks of accepted or of rejected units, with those that turned at the second look as hits.
SampledPart sampled_part(const std::vector<SecondLook>& looks, bool first_rejects) {
  double sum = 0;
  double squares = 0;
  double turned = 0;
  for (const SecondLook& look : looks) {
    if (look.first_rejects != first_rejects) continue;
    const double weight = 1 / look.probability;
    sum += weight;
    squares += weight * weight;
    if (look.second_rejects != first_rejects) turned += weight;
  }
  SampledPart part;
  part.drawn = sum * sum / squares;
  part.weight = sum / part.drawn;
  const double share = turned / sum;
  double variance = 0;
  for (const SecondLook& look : looks) {
    if (look.first_rejects != first_rejects) continue;
    const double off = (look.second_rejects != first_rejects ? 1 : 0) - share;
    variance += off * off / (look.probability * look.probability) / (sum * sum);
  }
  part.units = variance > 0 ? std::min(part.drawn, share * (1 - share) / variance) : part.drawn;
  part.hits = share * part.units;
  return part;
}

// Both fall as either share of turned units rises, whatever the share of rejected ones.
double share_alike(double escaped, double returned, double rejected) {
  return 1 - (1 - rejected) * escaped - rejected * returned;
}
double kappa_of(double escaped, double returned, double rejected) {
  const double differ = (1 - rejected) * escaped + rejected * returned;
  const double second = rejected * (1 - returned) + (1 - rejected) * escaped;
  return 1 - differ / (rejected * (1 - second) + second * (1 - rejected));
}

}  // namespace

Escapes escapes_of(const std::vector<SecondLook>& looks, double confidence) {
  Escapes out;
  for (const SecondLook& look : looks) {
    if (look.first_rejects) continue;
    if (++out.accepted == 1) out.least_probability = out.most_probability = look.probability;
    out.escapes += look.second_rejects ? 1 : 0;
    out.least_probability = std::min(out.least_probability, look.probability);
    out.most_probability = std::max(out.most_probability, look.probability);
  }
  Status possible = check_probabilities(looks);
  if (possible && out.accepted == 0)
    possible = fail(Category::refused, "no accepted unit was looked at again");
  if (!possible) {
    out.rate = tl::unexpected(possible.error());
    out.limits = tl::unexpected(possible.error());
    out.at_most = tl::unexpected(possible.error());
  } else if (out.weighed()) {
    const SampledPart part = sampled_part(looks, false);
    out.rate = part.hits / part.units;
    out.limits = exact_interval(part.hits, part.units, confidence);
    out.at_most =
        exact_interval(part.hits, part.units, 2 * confidence - 1).map([](const Interval& limits) {
          return limits.high;
        });
  } else {
    out.rate = static_cast<double>(out.escapes) / static_cast<double>(out.accepted);
    out.limits =
        binomial_interval(out.escapes, out.accepted, BinomialMethod::clopper_pearson, confidence);
    out.at_most = exact_upper_limit(out.escapes, out.accepted, confidence);
  }
  return out;
}

std::vector<RunningEscapes> running_escapes(const std::vector<SecondLook>& looks,
                                            double confidence) {
  std::vector<std::string> order;
  for (const SecondLook& look : looks) {
    if (std::find(order.begin(), order.end(), look.period) == order.end())
      order.push_back(look.period);
  }
  std::vector<RunningEscapes> out;
  std::vector<SecondLook> so_far;
  for (const std::string& period : order) {
    std::vector<SecondLook> own;
    std::copy_if(looks.begin(), looks.end(), std::back_inserter(own),
                 [&](const SecondLook& look) { return look.period == period; });
    so_far.insert(so_far.end(), own.begin(), own.end());
    out.push_back({period, escapes_of(own, confidence), escapes_of(so_far, confidence)});
  }
  return out;
}

std::string in_a_sentence(const Escapes& escapes) {
  if (!escapes.rate) return escapes.rate.error().message;
  const auto percent = [](double share) { return fmt::format("{:.1f} %", 100 * share); };
  const std::string drawn =
      escapes.weighed()
          ? fmt::format(
                " (looked at again at rates of {:.3g} to {:.3g} %, so each counts by 1 / its rate)",
                100 * escapes.least_probability, 100 * escapes.most_probability)
          : "";
  return fmt::format(
      "{} of {} accepted units rejected at the second look: {}{}; the rate is at most {} with 95 % "
      "confidence",
      escapes.escapes, escapes.accepted, percent(*escapes.rate), drawn, percent(*escapes.at_most));
}

TwoJudgements weighted_agreement(const std::vector<SecondLook>& looks,
                                 const BootstrapOptions& options) {
  const auto accepted = static_cast<std::size_t>(std::count_if(
      looks.begin(), looks.end(), [](const SecondLook& look) { return !look.first_rejects; }));
  std::vector<JudgedTwice> judged;
  for (const SecondLook& look : looks)
    judged.push_back({std::to_string(judged.size()), look.first_rejects ? 1U : 0U,
                      look.second_rejects ? 1U : 0U, 1 / look.probability});
  TwoJudgements out = judged_without_limits(judged, 2);
  if (const Status s = checked(looks, accepted); !s) {
    out.weighted = Matrix(2);
    out.units = 0;
    out.alike = out.kappa = tl::unexpected(s.error());
    out.alike_limits = out.limits = tl::unexpected(s.error());
    return out;
  }
  const SampledPart of_accepted = sampled_part(looks, false);
  const SampledPart of_rejected = sampled_part(looks, true);
  out.alike_limits = melded_limits(of_accepted, of_rejected, share_alike, options);
  out.limits = melded_limits(of_accepted, of_rejected, kappa_of, options);
  return out;
}

}  // namespace lastlook::analytics
