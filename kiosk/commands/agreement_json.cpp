// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/agreement_json.h"

namespace lastlook::commands {

using namespace analytics;

namespace {

// One inspector, two of them, all: each value says where it stands, and if it is null, why.
class Values {
 public:
  Values(std::string of, Notes& notes) : of_(std::move(of)), notes_(notes) {}

  void add(const std::string& name, const Result<double>& value) {
    out_[name] = notes_.value(value, of_, name);
  }
  template <class T>
  void add(const std::string& name, const Result<T>& result, double T::*member) {
    out_[name] =
        notes_.value(result, of_, name, [&](const T& value) { return Json(value.*member); });
  }
  // "low" and "high" after the prefix.
  void limits(const std::string& prefix, const Result<Interval>& limits) {
    notes_.limits(out_, prefix, limits, of_);
  }
  // The reason why a number is null is the reason of its limits too.
  template <class T>
  void limits_of(const Result<T>& value, const std::string& prefix,
                 const Result<Interval>& limits) {
    this->limits(prefix, value ? limits : tl::unexpected(value.error()));
  }
  void plain(const std::string& name, Json value) { out_[name] = std::move(value); }
  void undefined(const std::string& name, const std::string& reason) {
    out_[name] = nullptr;
    notes_.undefined(of_, name, reason);
  }
  Json take() { return std::move(out_); }

 private:
  std::string of_;
  Notes& notes_;
  Json out_ = Json::object();
};

Json self_json(const SelfAgreement& self, const Study& study, Notes& notes) {
  const std::string& name = study.inspectors[self.inspector];
  Values out("self " + name, notes);
  out.plain("inspector", name);
  out.add("agree", self.agree);
  out.plain("items", self.items);
  out.plain("items_agreeing", self.agreeing);
  out.limits("", self.limits);
  return out.take();
}

Json pair_json(const PairAgreement& pair, const Result<Interval>& resampled, const Study& study,
               Notes& notes) {
  const std::string& a = study.inspectors[pair.a];
  const std::string& b = study.inspectors[pair.b];
  Values out("pairs " + a + " " + b, notes);
  out.plain("a", a);
  out.plain("b", b);
  out.plain("n", pair.pairs);
  out.plain("items", pair.items);
  out.add("kappa", pair.kappa, &Kappa::value);
  out.add("se", pair.kappa, &Kappa::se);
  out.add("kappa_first_trial", pair.first_trial, &Kappa::value);
  out.limits_of(pair.kappa, "", pair.limits);
  out.add("se_by_item", pair.se_by_item);
  out.add("ac1", pair.ac1, &GroupMeasure::value);
  out.add("kappa_linear", pair.linear, &Kappa::value);
  out.add("kappa_quadratic", pair.quadratic, &Kappa::value);
  out.add("se_linear", pair.linear, &Kappa::se);
  out.add("se_quadratic", pair.quadratic, &Kappa::se);
  out.add("pabak", pair.indices, &TwoRaterIndices::pabak);
  out.add("agree", pair.kappa, &Kappa::observed);
  out.limits_of(pair.kappa, "bca_", resampled);
  out.add("mcnemar_p", pair.mcnemar, &McNemar::p_value);
  out.add("kendall_tau", pair.kendall_tau);
  return out.take();
}

Json category_json(const Result<CategoryKappa>& kappa, const std::string& category, Notes& notes) {
  Values out("group " + category, notes);
  out.plain("category", category);
  out.add("fleiss", kappa, &CategoryKappa::value);
  out.add("fleiss_se", kappa, &CategoryKappa::se_null);
  return out.take();
}

Json group_json(const GroupAgreement& group, const AgreementLimits& resampled, const Study& study,
                Notes& notes) {
  Values out("group", notes);
  out.add("fleiss", group.fleiss, &GroupMeasure::value);
  out.add("fleiss_se", group.fleiss_se);
  out.limits("fleiss_", group.fleiss_limits);
  out.add("light", group.light);
  out.add("conger", group.conger);
  out.add("alpha", group.alpha);
  out.add("alpha_ordinal", group.alpha_ordinal);
  out.add("ac1", group.ac1, &GroupMeasure::value);
  out.add("ac2_linear", group.ac2_linear, &GroupMeasure::value);
  out.add("ac2_quadratic", group.ac2_quadratic, &GroupMeasure::value);
  out.limits_of(group.fleiss, "fleiss_bca_", resampled.fleiss);
  out.limits_of(group.alpha, "alpha_bca_", resampled.alpha);
  out.limits_of(group.ac1, "ac1_bca_", resampled.ac1);
  out.plain("all_agree", group.all_agree);
  out.limits("all_agree_", group.all_agree_limits);
  out.plain("items", group.items);
  out.add("cochran_q", group.cochran_q, &ChiSquared::value);
  out.add("cochran_q_p", group.cochran_q, &ChiSquared::p_value);
  out.add("kendall_w", group.kendall_w, &Concordance::w);
  Json categories = Json::array();
  for (std::size_t k = 0; k < group.fleiss_by_category.size(); ++k)
    categories.push_back(category_json(group.fleiss_by_category[k], study.categories[k], notes));
  out.plain("by_category", std::move(categories));
  return out.take();
}

void add_rate(Values& out, const std::string& key, const DecisionRate& rate) {
  out.add(key + "_rate", rate.value);
  out.limits(key + "_", rate.limits);
  out.plain(key + "_unsure", rate.unsure);
}

// The handbook's band of the value, and of the limit that lies on its worse side.
void add_band(Values& out, const std::string& key, const Result<double>& value,
              const Result<Interval>& limits, double Interval::*worse, Band (*band)(double)) {
  if (!value || !limits) {
    const std::string& reason = (value ? limits.error() : value.error()).message;
    out.undefined(key + "_band", reason);
    out.undefined(key + "_band_by_limit", reason);
    return;
  }
  out.plain(key + "_band", name_of(band(*value)));
  out.plain(key + "_band_by_limit", name_of(band((*limits).*worse)));
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
  Values out("with_reference " + name, notes);
  out.plain("inspector", name);
  out.plain("items", r.items);
  out.plain("items_right", r.right);
  out.add("kappa", r.kappa, &Kappa::value);
  out.add("se", r.kappa, &Kappa::se);
  out.limits_of(r.kappa, "", r.limits);
  out.add("effectiveness", r.effectiveness);
  out.limits("effectiveness_", r.effectiveness_limits);
  add_band(out, "effectiveness", r.effectiveness, r.effectiveness_limits, &Interval::low,
           effectiveness_band);
  add_rate(out, "miss", r.miss);
  add_rate(out, "false_alarm", r.false_alarm);
  add_band(out, "miss", r.miss.value, r.miss.limits, &Interval::high, miss_band);
  add_band(out, "false_alarm", r.false_alarm.value, r.false_alarm.limits, &Interval::high,
           false_alarm_band);
  out.add("kappa_first_trial", r.first_trial, &Kappa::value);
  out.add("d_prime", r.d_prime);
  out.add("bias", r.bias);
  out.limits_of(r.kappa, "bca_", resampled);
  out.plain("says", in_a_sentence(r));
  return out.take();
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
  out["group"] = group_json(agreement.group, resampled, study, notes);
  for (std::size_t i = 0; i < agreement.with_reference.size(); ++i) {
    out["with_reference"].push_back(
        reference_json(agreement.with_reference[i], resampled.with_reference[i], study, notes));
  }
  if (agreement.with_reference.empty()) notes.add("with_reference: no reference in the file");
  out["categories"] = study.categories;
  out["conforming"] = study.good ? Json(study.categories[*study.good]) : Json(nullptr);
  if (!study.good)
    notes.undefined("", "conforming", "no rating is named so, expected --good with one of them");
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
