// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/agreement_json.h"

namespace lastlook::commands {

using namespace analytics;

namespace {

Json low(Notes& notes, const Result<Interval>& limits, const std::string& where) {
  return notes.value(limits, where + " limits", [](const Interval& i) { return Json(i.low); });
}

Json high(const Result<Interval>& limits) {
  return limits ? Json(limits->high) : Json(nullptr);
}

Json kappa_value(Notes& notes, const Result<Kappa>& kappa, const std::string& where) {
  return notes.value(kappa, where, [](const Kappa& k) { return Json(k.value); });
}

// Beside a kappa that is null for the same reason.
Json kappa_se(const Result<Kappa>& kappa) {
  return kappa ? Json(kappa->se) : Json(nullptr);
}

Json measure(Notes& notes, const Result<GroupMeasure>& result, const std::string& where) {
  return notes.value(result, where, [](const GroupMeasure& m) { return Json(m.value); });
}

// Limits by resampling; a reason only where the number itself has none.
void add_resampled(Json& out, const std::string& prefix, const Result<Interval>& limits,
                   bool defined, const std::string& where, Notes& notes) {
  out[prefix + "low"] = defined ? low(notes, limits, where) : Json(nullptr);
  out[prefix + "high"] = high(limits);
}

Json self_json(const SelfAgreement& self, const Study& study, Notes& notes) {
  const std::string& name = study.inspectors[self.inspector];
  const std::string where = "self " + name;
  return {{"inspector", name},
          {"agree", notes.value(self.agree, where + " agree")},
          {"items", self.items},
          {"items_agreeing", self.agreeing},
          {"low", self.limits ? Json(self.limits->low) : Json(nullptr)},
          {"high", high(self.limits)}};
}

Json pair_json(const PairAgreement& pair, const Result<Interval>& resampled, const Study& study,
               Notes& notes) {
  const std::string& a = study.inspectors[pair.a];
  const std::string& b = study.inspectors[pair.b];
  const std::string where = "pairs " + a + " " + b;
  Json out = {{"a", a}, {"b", b}, {"n", pair.pairs}, {"items", pair.items}};
  out["kappa"] = kappa_value(notes, pair.kappa, where + " kappa");
  out["se"] = kappa_se(pair.kappa);
  out["kappa_first_trial"] =
      pair.kappa ? kappa_value(notes, pair.first_trial, where + " kappa_first_trial")
                 : Json(nullptr);
  out["low"] = pair.kappa ? low(notes, pair.limits, where) : Json(nullptr);
  out["high"] = high(pair.limits);
  out["se_by_item"] = pair.se_by_item ? Json(*pair.se_by_item) : Json(nullptr);
  out["ac1"] = measure(notes, pair.ac1, where + " ac1");
  out["kappa_linear"] = pair.linear ? Json(pair.linear->value) : Json(nullptr);
  out["kappa_quadratic"] = pair.quadratic ? Json(pair.quadratic->value) : Json(nullptr);
  out["se_linear"] = kappa_se(pair.linear);
  out["se_quadratic"] = kappa_se(pair.quadratic);
  out["pabak"] = pair.indices ? Json(pair.indices->pabak) : Json(nullptr);
  out["agree"] = pair.kappa ? Json(pair.kappa->observed) : Json(nullptr);
  add_resampled(out, "bca_", resampled, pair.kappa.has_value(), where + " resampled", notes);
  out["mcnemar_p"] = pair.mcnemar ? Json(pair.mcnemar->p_value) : Json(nullptr);
  return out;
}

Json group_json(const GroupAgreement& group, const AgreementLimits& resampled, Notes& notes) {
  Json out;
  out["fleiss"] = measure(notes, group.fleiss, "group fleiss");
  out["fleiss_se"] = notes.value(group.fleiss_se, "group fleiss_se");
  out["fleiss_low"] = group.fleiss_limits ? Json(group.fleiss_limits->low) : Json(nullptr);
  out["fleiss_high"] = high(group.fleiss_limits);
  out["light"] = notes.value(group.light, "group light");
  out["conger"] = notes.value(group.conger, "group conger");
  out["alpha"] = notes.value(group.alpha, "group alpha");
  out["alpha_ordinal"] = notes.value(group.alpha_ordinal, "group alpha_ordinal");
  out["ac1"] = measure(notes, group.ac1, "group ac1");
  add_resampled(out, "fleiss_bca_", resampled.fleiss, group.fleiss.has_value(),
                "group fleiss resampled", notes);
  add_resampled(out, "alpha_bca_", resampled.alpha, group.alpha.has_value(),
                "group alpha resampled", notes);
  add_resampled(out, "ac1_bca_", resampled.ac1, group.ac1.has_value(), "group ac1 resampled",
                notes);
  out["all_agree"] = group.all_agree;
  out["items"] = group.items;
  out["cochran_q"] = notes.value(group.cochran_q, "group cochran_q",
                                 [](const ChiSquared& q) { return Json(q.value); });
  out["cochran_q_p"] = group.cochran_q ? Json(group.cochran_q->p_value) : Json(nullptr);
  out["kendall_w"] = notes.value(group.kendall_w, "group kendall_w",
                                 [](const Concordance& w) { return Json(w.w); });
  return out;
}

void add_rate(Json& out, const std::string& key, const DecisionRate& rate, const std::string& where,
              Notes& notes) {
  out[key + "_rate"] = notes.value(rate.value, where + " " + key + "_rate");
  out[key + "_low"] = rate.limits ? Json(rate.limits->low) : Json(nullptr);
  out[key + "_high"] = high(rate.limits);
  out[key + "_unsure"] = rate.unsure;
}

// The handbook's band of the value, and of the limit that lies on its worse side.
void add_band(Json& out, const std::string& key, const Result<double>& value,
              const Result<Interval>& limits, bool high_is_worse, Band (*band)(double)) {
  const bool known = value && limits;
  out[key + "_band"] = known ? Json(name_of(band(*value))) : Json(nullptr);
  out[key + "_band_by_limit"] =
      known ? Json(name_of(band(high_is_worse ? limits->high : limits->low))) : Json(nullptr);
}

Json split_json(const SplitItem& item, const Study& study) {
  Json ratings = Json::object();
  for (std::size_t k = 0; k < item.ratings.size(); ++k)
    ratings[study.categories[k]] = item.ratings[k];
  const auto& reference = study.references[item.item];
  return {{"item", study.items[item.item]},
          {"disagreement", item.disagreement},
          {"ratings", std::move(ratings)},
          {"reference", reference ? Json(study.categories[*reference]) : Json(nullptr)}};
}

Json reference_json(const ReferenceAgreement& r, const Result<Interval>& resampled,
                    const Study& study, Notes& notes) {
  const std::string& name = study.inspectors[r.inspector];
  const std::string where = "with_reference " + name;
  Json out = {{"inspector", name}};
  out["kappa"] = kappa_value(notes, r.kappa, where + " kappa");
  out["se"] = kappa_se(r.kappa);
  out["low"] = r.kappa ? low(notes, r.limits, where) : Json(nullptr);
  out["high"] = high(r.limits);
  out["effectiveness"] = notes.value(r.effectiveness, where + " effectiveness");
  out["effectiveness_low"] =
      r.effectiveness_limits ? Json(r.effectiveness_limits->low) : Json(nullptr);
  out["effectiveness_high"] = high(r.effectiveness_limits);
  add_band(out, "effectiveness", r.effectiveness, r.effectiveness_limits, false,
           effectiveness_band);
  add_rate(out, "miss", r.miss, where, notes);
  add_rate(out, "false_alarm", r.false_alarm, where, notes);
  add_band(out, "miss", r.miss.value, r.miss.limits, true, miss_band);
  add_band(out, "false_alarm", r.false_alarm.value, r.false_alarm.limits, true, false_alarm_band);
  out["kappa_first_trial"] =
      r.kappa ? kappa_value(notes, r.first_trial, where + " kappa_first_trial") : Json(nullptr);
  out["d_prime"] = r.d_prime ? Json(*r.d_prime) : Json(nullptr);
  out["bias"] = r.bias ? Json(*r.bias) : Json(nullptr);
  add_resampled(out, "bca_", resampled, r.kappa.has_value(), where + " resampled", notes);
  out["says"] = in_a_sentence(r);
  return out;
}

}  // namespace

Json agreement_json(const Study& study, const Agreement& agreement,
                    const AgreementLimits& resampled) {
  Notes notes;
  Json out = {{"self", Json::array()},
              {"pairs", Json::array()},
              {"group", nullptr},
              {"with_reference", Json::array()}};
  for (const auto& self : agreement.self) out["self"].push_back(self_json(self, study, notes));
  for (std::size_t i = 0; i < agreement.pairs.size(); ++i) {
    out["pairs"].push_back(pair_json(agreement.pairs[i], resampled.pairs[i], study, notes));
  }
  out["group"] = group_json(agreement.group, resampled, notes);
  for (std::size_t i = 0; i < agreement.with_reference.size(); ++i) {
    out["with_reference"].push_back(
        reference_json(agreement.with_reference[i], resampled.with_reference[i], study, notes));
  }
  if (agreement.with_reference.empty()) notes.add("with_reference: no reference in the file");
  out["categories"] = study.categories;
  out["conforming"] = study.good ? Json(study.categories[*study.good]) : Json(nullptr);
  Json warnings = Json::array();
  for (const auto& pair : agreement.pairs) {
    if (std::string warning = kappa_warning(pair, study); !warning.empty())
      warnings.push_back(std::move(warning));
  }
  out["warnings"] = std::move(warnings);
  out["split_items"] = Json::array();
  for (const SplitItem& item : agreement.split)
    out["split_items"].push_back(split_json(item, study));
  out["notes"] = notes.list();
  return out;
}

}  // namespace lastlook::commands
