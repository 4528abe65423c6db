// SPDX-License-Identifier: Apache-2.0
#include "analytics/second_look.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::analytics {
namespace {

Escapes shares_of(std::int64_t escapes, std::int64_t accepted, double confidence) {
  Escapes out;
  out.escapes = escapes;
  out.accepted = accepted;
  if (accepted == 0) {
    const auto reason = fail(Category::refused, "no accepted unit was looked at again");
    out.rate = reason;
    out.limits = reason;
    out.at_most = reason;
    return out;
  }
  out.rate = static_cast<double>(escapes) / static_cast<double>(accepted);
  out.limits = binomial_interval(escapes, accepted, BinomialMethod::clopper_pearson, confidence);
  out.at_most = exact_upper_limit(escapes, accepted, confidence);
  return out;
}

Status checked(const std::vector<SecondLook>& looks, std::size_t accepted) {
  for (const SecondLook& look : looks) {
    if (look.probability > 0 && look.probability <= 1) continue;
    return fail(Category::bad_input, fmt::format("a probability of {}: expected more than 0 and at "
                                                 "most 1",
                                                 look.probability));
  }
  if (accepted > 0 && accepted < looks.size()) return {};
  return fail(Category::refused,
              fmt::format("no {} unit was looked at again, so that part of the table is not known",
                          accepted == 0 ? "accepted" : "rejected"));
}

}  // namespace

Escapes escapes_of(const std::vector<SecondLook>& looks, double confidence) {
  std::int64_t escapes = 0;
  std::int64_t accepted = 0;
  for (const SecondLook& look : looks) {
    if (look.first_rejects) continue;
    ++accepted;
    escapes += look.second_rejects ? 1 : 0;
  }
  return shares_of(escapes, accepted, confidence);
}

std::vector<RunningEscapes> running_escapes(const std::vector<SecondLook>& looks,
                                            double confidence) {
  std::vector<std::string> order;
  for (const SecondLook& look : looks) {
    if (std::find(order.begin(), order.end(), look.period) == order.end())
      order.push_back(look.period);
  }
  std::vector<RunningEscapes> out;
  std::int64_t escapes = 0;
  std::int64_t accepted = 0;
  for (const std::string& period : order) {
    std::vector<SecondLook> own;
    std::copy_if(looks.begin(), looks.end(), std::back_inserter(own),
                 [&](const SecondLook& look) { return look.period == period; });
    RunningEscapes row{period, escapes_of(own, confidence), {}};
    escapes += row.alone.escapes;
    accepted += row.alone.accepted;
    row.running = shares_of(escapes, accepted, confidence);
    out.push_back(std::move(row));
  }
  return out;
}

TwoJudgements weighted_agreement(const std::vector<SecondLook>& looks,
                                 const BootstrapOptions& options) {
  const auto accepted = static_cast<std::size_t>(std::count_if(
      looks.begin(), looks.end(), [](const SecondLook& look) { return !look.first_rejects; }));
  if (const Status s = checked(looks, accepted); !s) {
    TwoJudgements out;
    out.counts = out.weighted = Matrix(2);
    for (const SecondLook& look : looks) out.counts(look.first_rejects, look.second_rejects) += 1;
    out.alike = out.kappa = tl::unexpected(s.error());
    out.alike_limits = out.limits = tl::unexpected(s.error());
    return out;
  }
  std::vector<JudgedTwice> judged;
  for (const SecondLook& look : looks)
    judged.push_back({std::to_string(judged.size()), look.first_rejects ? 1U : 0U,
                      look.second_rejects ? 1U : 0U, 1 / look.probability,
                      look.first_rejects ? "rejected" : "accepted"});
  return two_judgements(judged, 2, options);
}

}  // namespace lastlook::analytics
