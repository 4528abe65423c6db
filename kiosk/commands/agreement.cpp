// SPDX-License-Identifier: Apache-2.0
// lastlook agreement: does each inspector agree with their own trials, with the others, with the
// reference?

#include <fmt/format.h>

#include "analytics/agreement_chart.h"
#include "analytics/svg.h"
#include "kiosk/commands/agreement_json.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

constexpr std::string_view kHeader = "item,inspector,trial,rating[,reference]";

struct AgreementCommand {
  std::string file;
  std::string good;
  std::string svg;
  int resamples = 2000;
  std::uint64_t seed = 1;
  bool json = false;
};

Result<StudyRow> read_row(const text::CsvReader& csv, const std::vector<std::size_t>& columns,
                          std::optional<std::size_t> reference) {
  StudyRow row;
  row.line = csv.line();
  const std::vector<std::string*> names = {&row.item, &row.inspector, &row.trial};
  for (std::size_t i = 0; i < names.size(); ++i) {
    const Result<std::string_view> text = csv.name(columns[i]);
    if (!text) return tl::unexpected(text.error());
    *names[i] = *text;
  }
  for (const auto& [column, text] :
       {std::pair{std::optional(columns[3]), &row.rating}, {reference, &row.reference}}) {
    if (!column || csv.blank(*column)) continue;
    const Result<std::string_view> words = csv.name(*column);
    if (!words) return tl::unexpected(words.error());
    *text = *words;
  }
  return row;
}

Result<std::vector<StudyRow>> read_rows(const std::string& file) {
  Result<text::CsvReader> csv = text::CsvReader::open(file);
  if (!csv) return tl::unexpected(csv.error());
  std::vector<std::size_t> columns;
  for (const char* name : {"item", "inspector", "trial", "rating"}) {
    const Result<std::size_t> column = csv->require(name, kHeader);
    if (!column) return tl::unexpected(column.error());
    columns.push_back(*column);
  }
  const std::optional<std::size_t> reference = csv->find("reference");
  std::vector<StudyRow> rows;
  for (;;) {
    const Result<bool> more = csv->next();
    if (!more) return tl::unexpected(more.error());
    if (!*more) return rows;
    Result<StudyRow> row = read_row(*csv, columns, reference);
    if (!row) return tl::unexpected(row.error());
    rows.push_back(std::move(*row));
  }
}

Result<Study> read_study(const AgreementCommand& command) {
  const Result<std::vector<StudyRow>> rows = read_rows(command.file);
  if (!rows) return tl::unexpected(rows.error());
  Result<Study> study = make_study(*rows, command.good);
  if (!study) return in_file(command.file, study.error());
  return study;
}

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

std::string reference_text(const Study& study, const Agreement& agreement) {
  std::string text;
  for (const ReferenceAgreement& r : agreement.with_reference) {
    text += fmt::format("{} {}\n", study.inspectors[r.inspector], in_a_sentence(r));
    if (r.effectiveness) {
      text += fmt::format("  right on {} of {} items: {:.1f} % ({}); {}, by the lower limit {}\n",
                          r.right, r.items, 100 * *r.effectiveness, shown(r.effectiveness_limits),
                          name_of(effectiveness_band(*r.effectiveness)),
                          name_of(effectiveness_band(r.effectiveness_limits->low)));
    }
    if (r.miss.value) {
      text += fmt::format("  miss rate {:.1f} %, at worst {:.1f} %\n", 100 * *r.miss.value,
                          100 * r.miss.limits->high);
    }
    if (r.false_alarm.value) {
      text += fmt::format("  false alarm rate {:.1f} %, at worst {:.1f} %\n",
                          100 * *r.false_alarm.value, 100 * r.false_alarm.limits->high);
    }
  }
  return text;
}

std::string as_text(const Study& study, const Agreement& agreement) {
  std::string text = reference_text(study, agreement);
  TextTable self("lrrl");
  self.row({"own trials", "agree", "items", "95 % limits"});
  for (const SelfAgreement& s : agreement.self) {
    self.row(
        {study.inspectors[s.inspector], shown(s.agree), std::to_string(s.items), shown(s.limits)});
  }
  TextTable pairs("lrrlrrr");
  pairs.row({"two inspectors", "n", "kappa", "95 % limits", "linear", "quadratic", "AC1"});
  for (const PairAgreement& p : agreement.pairs) {
    pairs.row({study.inspectors[p.a] + ", " + study.inspectors[p.b], std::to_string(p.pairs),
               shown(p.kappa), shown(p.limits), shown(p.linear), shown(p.quadratic), shown(p.ac1)});
  }
  const GroupAgreement& g = agreement.group;
  text += "\n" + self.text() + "\n" + pairs.text();
  text +=
      fmt::format("\nall together: Fleiss {}, Light {}, Conger {}, alpha {}, AC1 {}\n",
                  shown(g.fleiss), shown(g.light), shown(g.conger), shown(g.alpha), shown(g.ac1));
  for (const PairAgreement& p : agreement.pairs) {
    if (const std::string warning = kappa_warning(p, study); !warning.empty())
      text += "note: " + warning + "\n";
  }
  text += "Trials are paired by their name; limits count an item once.\n";
  return text;
}

Status draw(const Study& study, const Agreement& agreement, const AgreementCommand& command) {
  if (command.svg.empty()) return {};
  const auto inspectors = static_cast<double>(study.inspectors.size());
  AgreementChartOptions options;
  options.frame = {std::max(640.0, 260 + 130 * inspectors), 190 + 72 * inspectors, 14,
                   "Does the look work?"};
  const WideSansMeasure measure;
  return write_text_file(command.svg, to_svg(agreement_chart(agreement, study, options, measure)));
}

int agreement(const AgreementCommand& command) {
  const Result<Study> study = read_study(command);
  if (!study) return report(study.error());
  const Agreement result = agreement_of(*study);
  if (const Status s = draw(*study, result, command); !s) return report(s.error());
  fmt::print("{}", command.json
                       ? agreement_json(*study, result,
                                        resampled_limits(*study, {command.resamples, command.seed,
                                                                  kConfidence, 0}))
                                 .dump(2) +
                             "\n"
                       : as_text(*study, result));
  return done;
}

}  // namespace

void add_agreement(Program& program) {
  auto command = std::make_shared<AgreementCommand>();
  CLI::App* app = program.app.add_subcommand(
      "agreement", "Says how far inspectors agree with themselves, each other and a reference");
  app->add_option(
         "FILE", command->file,
         "CSV with the columns item,inspector,trial,rating[,reference]; an empty rating is missing")
      ->required();
  app->add_option("--good", command->good,
                  "The rating that means conforming (found by its name; of 0 and 1 it is 1)");
  app->add_option("--resamples", command->resamples, "Resamples of the items for the bca limits")
      ->check(CLI::Range(100, 1000000))
      ->capture_default_str();
  app->add_option("--seed", command->seed, "Of the resamples")->capture_default_str();
  app->add_option("--svg", command->svg, "Draws the grid into this file");
  app->add_flag(
      "--json", command->json,
      "Writes JSON; rates are fractions, what is not defined is null with its reason under notes");
  app->footer("Example:\n  lastlook agreement study.csv --good accept --json");
  app->callback([&program, command] { program.exit_code = agreement(*command); });
}

}  // namespace lastlook::commands
