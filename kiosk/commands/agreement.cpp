// SPDX-License-Identifier: Apache-2.0
// lastlook agreement: does each inspector agree with their own trials, with the others, with the
// reference?

#include <fmt/format.h>

#include "analytics/agreement_chart.h"
#include "kiosk/commands/agreement_compare.h"
#include "kiosk/commands/agreement_json.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/study_rows.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

struct AgreementCommand {
  std::string file;
  StationSource station;
  std::string study;  // one that was rated at the kiosk
  std::string compare = "second-looks";
  std::string inspector;
  std::string good;
  BootstrapOptions resampling;
  Delivery delivery;
};

std::string shown(const Result<double>& value) {
  return value ? fmt::format("{:.3f}", *value) : "-";
}
std::string shown(const Result<Kappa>& kappa) {
  return kappa ? fmt::format("{:.3f}", kappa->value) : "-";
}
std::string shown(const Result<GroupMeasure>& m) {
  return m ? fmt::format("{:.3f}", m->value) : "-";
}
std::string shown(const Result<Interval>& limits) {
  if (!limits) return "-";
  return fmt::format("{:.3f} to {:.3f}", limits->low, std::min(1.0, limits->high));
}

std::string band_words(std::string_view name, double value, double worst, Band (*band)(double)) {
  return fmt::format("{} {:.1f} %, at worst {:.1f} %: {}, by that limit {}", name, 100 * value,
                     100 * worst, name_of(band(value)), name_of(band(worst)));
}

void add_reference(Reply& reply, const Study& study, const Agreement& agreement) {
  for (const ReferenceAgreement& r : agreement.with_reference) {
    reply.add(study.inspectors[r.inspector] + " " + in_a_sentence(r));
    if (r.effectiveness) {
      reply.add(fmt::format("  right on {} of {} items: ", r.right, r.items) +
                band_words("effectiveness", *r.effectiveness, r.effectiveness_limits->low,
                           effectiveness_band));
    }
    if (r.miss.value)
      reply.add(band_words("  miss rate", *r.miss.value, r.miss.limits->high, miss_band));
    if (r.false_alarm.value) {
      reply.add(band_words("  false alarm rate", *r.false_alarm.value, r.false_alarm.limits->high,
                           false_alarm_band));
    }
    if (r.d_prime && r.bias) {
      reply.add(fmt::format("  tells good from bad by {:.1f} sigmas, leaning to {} ({:+.2f})",
                            *r.d_prime, *r.bias < 0 ? "stopping" : "letting pass", *r.bias));
    }
  }
}

// One statistic of all inspectors together; nothing where it has no meaning for this scale.
class GroupTable {
 public:
  GroupTable() : table_("lrrr") { table_.row({"all together", "", "95 % limits", "resampled"}); }
  void add(const std::string& name, const Result<double>& value, const std::string& limits = "",
           const std::string& resampled = "") {
    if (value) table_.row({name, shown(value), limits, resampled});
  }
  TextTable take() { return std::move(table_); }

 private:
  TextTable table_;
};

Result<double> value_of(const Result<GroupMeasure>& measure) {
  return measure.map([](const GroupMeasure& m) { return m.value; });
}

TextTable group_table(const Study& study, const GroupAgreement& group,
                      const AgreementLimits& resampled) {
  GroupTable table;
  if (group.items > 0)
    table.add("all ratings alike",
              static_cast<double>(group.all_agree) / static_cast<double>(group.items),
              shown(group.all_agree_limits));
  table.add("Fleiss' kappa", value_of(group.fleiss), shown(group.fleiss_limits),
            shown(resampled.fleiss));
  // Of two categories each is the other's mirror: their kappas are that of both.
  if (study.categories.size() > 2) {
    for (std::size_t k = 0; k < group.fleiss_by_category.size(); ++k)
      table.add("  of " + study.categories[k] + " or not",
                group.fleiss_by_category[k].map([](const CategoryKappa& c) { return c.value; }));
  }
  table.add("Light's kappa", group.light);
  table.add("Conger's kappa", group.conger);
  table.add("alpha", group.alpha, "", shown(resampled.alpha));
  table.add("alpha, ordinal", group.alpha_ordinal);
  table.add("AC1", value_of(group.ac1), "", shown(resampled.ac1));
  table.add("AC2, linear", value_of(group.ac2_linear));
  table.add("AC2, quadratic", value_of(group.ac2_quadratic));
  table.add("Kendall's W", group.kendall_w.map([](const Concordance& c) { return c.w; }));
  return table.take();
}

void add_tables(Reply& reply, const Study& study, const Agreement& agreement,
                const AgreementLimits& resampled) {
  TextTable self("lrrr");
  self.row({"own trials", "agree", "items", "95 % limits"});
  for (const SelfAgreement& s : agreement.self) {
    self.row(
        {study.inspectors[s.inspector], shown(s.agree), std::to_string(s.items), shown(s.limits)});
  }
  // Of two categories every weighting gives the same kappa; ranks are of numbers.
  const bool weighted = study.categories.size() > 2;
  std::vector<std::string> head = {"two inspectors", "n",           "kappa", "95 % limits",
                                   "resampled",      "first trial", "AC1"};
  if (weighted) head.insert(head.end(), {"linear", "quadratic"});
  if (study.ordered) head.emplace_back("tau");
  TextTable pairs("l" + std::string(head.size() - 1, 'r'));
  pairs.row(head);
  for (std::size_t i = 0; i < agreement.pairs.size(); ++i) {
    const PairAgreement& p = agreement.pairs[i];
    std::vector<std::string> cells = {study.inspectors[p.a] + ", " + study.inspectors[p.b],
                                      std::to_string(p.pairs),
                                      shown(p.kappa),
                                      shown(p.limits),
                                      shown(resampled.pairs[i]),
                                      shown(p.first_trial),
                                      shown(p.ac1)};
    if (weighted) cells.insert(cells.end(), {shown(p.linear), shown(p.quadratic)});
    if (study.ordered) cells.push_back(shown(p.kendall_tau));
    pairs.row(cells);
  }
  reply.add(std::move(self));
  reply.add(std::move(pairs));
  if (!agreement.pairs.empty()) reply.add(group_table(study, agreement.group, resampled));
}

void add_split_items(Reply& reply, const Study& study, const Agreement& agreement) {
  constexpr std::size_t most = 10;
  if (agreement.split.empty()) return;
  TextTable table("lrl");
  table.row({"items that split opinions", "differ", "ratings"});
  for (std::size_t i = 0; i < std::min(most, agreement.split.size()); ++i) {
    const SplitItem& item = agreement.split[i];
    std::vector<std::string> words;
    for (std::size_t k = 0; k < item.ratings.size(); ++k) {
      if (item.ratings[k] > 0)
        words.push_back(fmt::format("{} x {}", item.ratings[k], study.categories[k]));
    }
    table.row({study.items[item.item], fmt::format("{:.0f} %", 100 * item.disagreement),
               fmt::format("{}", fmt::join(words, ", "))});
  }
  reply.add(std::move(table));
  if (agreement.split.size() > most)
    reply.add(fmt::format("and {} more", agreement.split.size() - most));
}

// The studies and what was made of each.
struct Answer {
  std::vector<NamedStudy> studies;
  std::vector<Agreement> results;
  std::vector<AgreementLimits> resampled;
};

Reply as_reply(const Answer& answer) {
  const auto& [studies, results, resampled] = answer;
  Reply reply("Does the look work?");
  for (std::size_t i = 0; i < studies.size(); ++i) {
    const Study& study = studies[i].study;
    if (studies.size() > 1) {
      reply.add((i > 0 ? "\n" : "") + std::string("== ") +
                (studies[i].defect.empty() ? "disposition" : studies[i].defect));
    }
    add_reference(reply, study, results[i]);
    add_tables(reply, study, results[i], resampled[i]);
    add_split_items(reply, study, results[i]);
    for (const PairAgreement& p : results[i].pairs) {
      if (const std::string warning = kappa_warning(p, study); !warning.empty())
        reply.add("note: " + warning);
    }
  }
  reply.add("Trials are paired by their name; limits count an item once.");
  return reply;
}

Chart drawing(const Study& study, const Agreement& agreement) {
  const auto inspectors = static_cast<double>(study.inspectors.size());
  AgreementChartOptions options;
  options.frame = {std::max(640.0, 260 + 130 * inspectors), 190 + 72 * inspectors, 14,
                   "Does the look work?"};
  const WideSansMeasure measure;
  return agreement_chart(agreement, study, options, measure);
}

Json as_json(const Answer& answer) {
  const auto one = [&](std::size_t i) {
    return agreement_json(answer.studies[i].study, answer.results[i], answer.resampled[i]);
  };
  Json out = one(0);
  if (answer.studies.size() == 1) return out;
  out["of"] = "disposition";
  out["defects"] = Json::array();
  for (std::size_t i = 1; i < answer.studies.size(); ++i) {
    Json defect = {{"defect", answer.studies[i].defect}};
    defect.update(one(i));
    out["defects"].push_back(std::move(defect));
  }
  return out;
}

int compare_station(const AgreementCommand& command) {
  if (command.compare == "camera" && !command.inspector.empty())
    return report({Category::bad_input, "--inspector: expected with --compare second-looks"});
  const CompareRequest request = {command.compare, command.inspector, command.resampling};
  const Status said = compare_from_records(command.station, request, command.delivery);
  return said ? done : report(said.error());
}

// Of a file, or of the study that was rated at a kiosk.
Status answer(const AgreementCommand& command) {
  OpenSource source;
  if (const Status s = open_where_given(command.station, source); !s) return s;
  Result<std::vector<NamedStudy>> studies = command.study.empty()
                                                ? read_studies(command.file, command.good)
                                                : recorded_study(source, command.study);
  if (!studies) return tl::unexpected(studies.error());
  Answer answer{*std::move(studies), {}, {}};
  for (const NamedStudy& named : answer.studies) {
    answer.results.push_back(agreement_of(named.study));
    answer.resampled.push_back(resampled_limits(named.study, command.resampling));
  }
  Reply reply = as_reply(answer);
  add_as_of(reply, source);
  reply.made_from_file(command.file);
  return deliver(
      command.delivery, reply,
      [&] {
        Json json = as_json(answer);
        add_as_of(json, source);
        return json;
      },
      [&] { return drawing(answer.studies.front().study, answer.results.front()); });
}

int agreement(const CLI::App& app, const AgreementCommand& command) {
  Status s = check_source(command.file, command.station);
  if (s) s = check_options(app, command.station, {"--compare", "--inspector"}, {"--good"});
  if (!s) return report(s.error());
  if (command.station.is_given() && command.study.empty()) return compare_station(command);
  const Status said = answer(command);
  return said ? done : report(said.error());
}

}  // namespace

void add_agreement(Program& program) {
  auto command = std::make_shared<AgreementCommand>();
  CLI::App* app = program.app.add_subcommand(
      "agreement", "Says how far inspectors agree with themselves, each other and a reference");
  add_source(app, command->file, command->station,
             "CSV with the columns item,inspector,trial,rating[,reference]; an empty rating is "
             "missing, 'unsure' is neither right nor wrong; a column defect makes a study of each "
             "defect and one of the disposition");
  app->add_option(
         "--compare", command->compare,
         "With --dir or --plant: first against second looks, or what people answered before "
         "they saw the camera's opinion against that opinion")
      ->check(CLI::IsMember({"second-looks", "camera"}))
      ->capture_default_str();
  app->add_option(
      "--inspector", command->inspector,
      "With second looks: the first looks of this person, by the id in the journal, or "
      "of 'all' one by one. Results by inspector are for that inspector and the quality "
      "engineer; nobody is named without this, and the rules of the site go first");
  CLI::Option* study = app->add_option(
      "--study", command->study,
      "With --dir or --plant: the whole of a study that was rated at the kiosk, by its id");
  for (const char* option :
       {"FILE", "--compare", "--inspector", "--from", "--to", "--shift", "--station", "--variant"})
    study->excludes(app->get_option(option));
  app->add_option("--good", command->good,
                  "The rating that means conforming (found by its name; of 0 and 1 it is 1)");
  add_resampling(app, command->resampling);
  add_delivery(
      app, command->delivery,
      "Writes JSON; rates are fractions, what is not defined is null with its reason under notes");
  app->footer(
      "Examples:\n"
      "  lastlook agreement study.csv --good accept --json\n"
      "  lastlook agreement --dir station --compare camera --from 2026-11-02\n"
      "  lastlook agreement --dir station --study s-2f81c0 --json");
  app->callback([&program, command, app] { program.exit_code = agreement(*app, *command); });
}

}  // namespace lastlook::commands
