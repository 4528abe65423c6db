// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/field_escapes.h"

#include <fmt/format.h>

namespace lastlook::commands {

Result<FieldEscapes> field_escapes(records::View view, const records::Period& period) {
  auto claims = records::claims(view, period);
  if (!claims) return tl::unexpected(claims.error());
  std::erase_if(*claims, [](const records::Claim& one) { return one.look.empty(); });
  const auto looks = records::look_counts(view, period);
  if (!looks) return tl::unexpected(looks.error());
  FieldEscapes field;
  field.claims = counted(*claims);
  field.accepted = looks->accept;
  field.limits = analytics::binomial_interval(field.claims.escaped, field.accepted,
                                              analytics::BinomialMethod::clopper_pearson);
  return field;
}

Json as_json(const FieldEscapes& field) {
  Json out = {{"escaped", field.claims.escaped},
              {"not_visible", field.claims.not_visible},
              {"not_judged", field.claims.not_judged},
              {"accepted", field.accepted}};
  out["rate"] =
      field.limits
          ? Json(static_cast<double>(field.claims.escaped) / static_cast<double>(field.accepted))
          : Json(nullptr);
  out["low"] = field.limits ? Json(field.limits->low) : Json(nullptr);
  out["high"] = field.limits ? Json(field.limits->high) : Json(nullptr);
  return out;
}

std::string in_a_sentence(const FieldEscapes& field) {
  const records::ClaimCounts& claims = field.claims;
  if (!field.limits) return "from the field: no unit was accepted in this period";
  if (claims.escaped + claims.not_visible + claims.not_judged == 0)
    return fmt::format("from the field: no claim about the {} accepted units so far",
                       field.accepted);
  std::string says = fmt::format(
      "from the field: {} of {} accepted units came back with what the last look ought to have "
      "seen, {:.2f} % ({:.2f} to {:.2f}) so far",
      claims.escaped, field.accepted,
      100 * static_cast<double>(claims.escaped) / static_cast<double>(field.accepted),
      100 * field.limits->low, 100 * field.limits->high);
  if (claims.not_visible > 0)
    says += fmt::format("; {} with what it could not see", claims.not_visible);
  if (claims.not_judged > 0) says += fmt::format("; {} not judged yet", claims.not_judged);
  return says;
}

std::string_view in_words(domain::ClaimVerdict verdict) {
  return verdict == domain::ClaimVerdict::escaped ? "escaped" : "not visible";
}

}  // namespace lastlook::commands
