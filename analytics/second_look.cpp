// SPDX-License-Identifier: Apache-2.0
#include "analytics/second_look.h"

#include <fmt/format.h>

#include <algorithm>

#include "analytics/kappa.h"

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

// Of the cells accept-accept, accept-reject, reject-accept, reject-reject.
std::optional<double> kappa_of(std::span<const double> cells) {
  const Matrix table({{cells[0], cells[1]}, {cells[2], cells[3]}});
  const Result<Kappa> k = kappa(table);
  return k ? std::optional(k->value) : std::nullopt;
}

// One row of four cells a unit, accepted units first.
std::vector<double> rows_of(const std::vector<SecondLook>& looks) {
  std::vector<double> rows;
  for (const bool first : {false, true}) {
    for (const SecondLook& look : looks) {
      if (look.first_rejects != first) continue;
      std::vector<double> row(4);
      row[(first ? 2U : 0U) + (look.second_rejects ? 1U : 0U)] = 1 / look.probability;
      rows.insert(rows.end(), row.begin(), row.end());
    }
  }
  return rows;
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

WeightedAgreement weighted_agreement(const std::vector<SecondLook>& looks,
                                     const BootstrapOptions& options) {
  const auto accepted = static_cast<std::size_t>(std::count_if(
      looks.begin(), looks.end(), [](const SecondLook& look) { return !look.first_rejects; }));
  WeightedAgreement out;
  if (const Status s = checked(looks, accepted); !s) {
    out.kappa = tl::unexpected(s.error());
    out.limits = tl::unexpected(s.error());
    return out;
  }
  std::vector<double> cells(4);
  const std::vector<double> rows = rows_of(looks);
  for (std::size_t i = 0; i < rows.size(); ++i) cells[i % 4] += rows[i];
  for (const double cell : cells) out.units += cell;
  out.kappa = kappa(Matrix({{cells[0], cells[1]}, {cells[2], cells[3]}})).map([](const Kappa& k) {
    return k.value;
  });
  if (!out.kappa) {
    out.limits = tl::unexpected(out.kappa.error());
    return out;
  }
  BootstrapOptions by_first = options;
  by_first.first_group = accepted;
  out.limits = Resamples(rows, 4, by_first).bca(kappa_of);
  return out;
}

}  // namespace lastlook::analytics
