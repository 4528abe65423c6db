// SPDX-License-Identifier: Apache-2.0
// lastlook study: plans an agreement study that is then rated at the kiosk, says how far it is, and
// ends it. What it came to: lastlook agreement --study.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>

#include "kiosk/commands/approver.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/places.h"
#include "kiosk/records/people.h"
#include "kiosk/records/pictures.h"
#include "kiosk/records/study_queries.h"
#include "kiosk/text/csv.h"

namespace lastlook::commands {
namespace {

struct StudyCommand {
  std::string dir, file, id, why, approved_by;
  domain::StudyPlanned plan;
  bool json = false;
};

void say(const StudyCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

// Items with, in `picture`, the path of theirs: beside the file that names it.
Result<std::vector<domain::StudyItem>> read_items(const std::string& file) {
  auto csv = text::CsvReader::open(file);
  if (!csv) return tl::unexpected(csv.error());
  const auto item = csv->require("item", "item[,reference,picture]");
  if (!item) return tl::unexpected(item.error());
  const auto reference = csv->find("reference");
  const auto picture = csv->find("picture");
  std::vector<domain::StudyItem> items;
  for (;;) {
    const auto more = csv->next();
    if (!more) return tl::unexpected(more.error());
    if (!*more) return items;
    const auto label = csv->name(*item);
    if (!label) return tl::unexpected(label.error());
    domain::StudyItem one{std::string(*label), "", ""};
    if (reference) one.reference = csv->field(*reference);
    if (picture && !csv->blank(*picture)) {
      const auto path = std::filesystem::path(file).parent_path() / csv->field(*picture);
      if (!std::filesystem::is_regular_file(path))
        return csv->expected(*picture, "a picture beside the file");
      one.picture = path.string();
    }
    items.push_back(std::move(one));
  }
}

// The pictures come to the station's, on disk before the entry that names them.
Status keep_pictures(const std::string& dir, std::vector<domain::StudyItem>& items) {
  records::Pictures pictures(std::filesystem::path(dir) / "pictures");
  for (domain::StudyItem& item : items) {
    if (item.picture.empty()) continue;
    const auto bytes = read_file(item.picture);
    if (!bytes) return tl::unexpected(bytes.error());
    auto hash = pictures.keep(*bytes);
    if (!hash) return tl::unexpected(hash.error());
    item.picture = *std::move(hash);
  }
  return {};
}

Status check_people(const StudyCommand& command) {
  const auto people = records::People::open(command.dir);
  if (!people) return tl::unexpected(people.error());
  const auto all = (*people)->all();
  if (!all) return tl::unexpected(all.error());
  for (const auto* ids : {&command.plan.inspectors, &command.plan.panel})
    for (const std::string& id : *ids)
      if (std::ranges::count(*all, id, &records::Person::id) == 0)
        return fail(Category::not_found,
                    fmt::format("{} {}: nobody here has this id, see 'lastlook people list'",
                                ids == &command.plan.panel ? "--panel" : "--inspector", id));
  return {};
}

Status handle(const StudyCommand& command, records::Records& records, const flows::Event& event) {
  return handle_approved(records, event, "only a quality engineer plans and ends studies",
                         {{"study_over", fmt::format("study {} has ended already", command.id)}});
}

int plan(const StudyCommand& command) {
  StudyCommand made = command;
  auto items = read_items(command.file);
  if (!items) return report(items.error());
  made.plan.items = *std::move(items);
  if (made.plan.ratings.empty()) made.plan.ratings = {"conforming", "nonconforming"};
  made.plan.study = records::new_study_id();
  if (const Status fits = domain::check_study(made.plan); !fits) return report(fits.error());
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status known = check_people(made); !known) return report(known.error());
  if (const Status may = check_approver(command.dir, command.approved_by); !may)
    return report(may.error());
  if (const Status kept = keep_pictures(command.dir, made.plan.items); !kept)
    return report(kept.error());
  const Status planned = handle(made, **records, flows::PlanStudy{made.plan, command.approved_by});
  if (!planned) return report(planned.error());
  say(command,
      {{"study", made.plan.study},
       {"items", made.plan.items.size()},
       {"inspectors", made.plan.inspectors},
       {"trials", made.plan.trials}},
      fmt::format("study {}: {} items, {} inspectors, {} trials; whoever of them signs in is "
                  "offered it",
                  made.plan.study, made.plan.items.size(), made.plan.inspectors.size(),
                  made.plan.trials));
  return done;
}

int list(const StudyCommand& command) {
  const auto records = records::Records::open_to_read(command.dir);
  if (!records) return report(records.error());
  const auto all = records::studies(**records);
  if (!all) return report(all.error());
  Json json = Json::array();
  TextTable table("llrrl");
  table.row({"study", "title", "rated", "of", "state"});
  for (const domain::StudyRecord& one : *all) {
    const std::size_t of = one.plan.items.size() * one.plan.inspectors.size() *
                           static_cast<std::size_t>(one.plan.trials);
    const std::string state = one.ended                  ? "ended: " + one.why_ended
                              : one.ratings.size() == of ? "complete"
                                                         : "under way";
    json.push_back({{"study", one.plan.study},
                    {"title", one.plan.title},
                    {"rated", one.ratings.size()},
                    {"of", of},
                    {"ended", one.ended},
                    {"why_ended", one.why_ended}});
    table.row({one.plan.study, one.plan.title, std::to_string(one.ratings.size()),
               std::to_string(of), state});
  }
  say(command, {{"studies", json}}, all->empty() ? "no study was planned here" : table.text());
  return done;
}

int end(const StudyCommand& command) {
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  if (const Status may = check_approver(command.dir, command.approved_by); !may)
    return report(may.error());
  const Status ended =
      handle(command, **records, flows::EndStudy{command.id, command.why, command.approved_by});
  if (!ended) return report(ended.error());
  say(command, {{"study", command.id}, {"ended", true}},
      fmt::format("nothing more is rated in study {}", command.id));
  return done;
}

void add_approved_by(CLI::App* app, StudyCommand& command) {
  app->add_option("--approved-by", command.approved_by,
                  "Id of the quality engineer, whose PIN is read from standard input")
      ->required();
}

void add_plan_options(CLI::App* app, StudyCommand& command) {
  domain::StudyPlanned& plan = command.plan;
  app->add_option("FILE", command.file,
                  "CSV with the columns item[,reference,picture]: the mark on the item, which says "
                  "nothing about it; what the panel found; a picture that is shown in its place")
      ->required();
  app->add_option("--title", plan.title, "As the screens show it")->required();
  app->add_option("--inspector", plan.inspectors, "Id of who rates; again for each")->required();
  app->add_option("--panel", plan.panel,
                  "Id of who decided the references, and so cannot be studied on them");
  app->add_option("--rating", plan.ratings,
                  "The words to choose from, the first means conforming (default: conforming, "
                  "nonconforming)");
  app->add_option("--trials", plan.trials, "How often each rates all items")->capture_default_str();
  app->add_option("--gap-min", plan.gap_min,
                  "Minutes at least from an inspector's trial to the next, so that it is not "
                  "remembered")
      ->capture_default_str();
  app->add_option("--seed", plan.seed, "Of the orders in which each sees the items")
      ->capture_default_str();
}

}  // namespace

void add_study(Program& program) {
  CLI::App* app = program.app.add_subcommand(
      "study", "Plans an agreement study that is rated blind at the kiosk");
  app->require_subcommand(1);
  const auto command = std::make_shared<StudyCommand>();
  const auto sub = [&](const char* name, const char* what, int (*run)(const StudyCommand&),
                       const char* example) {
    CLI::App* one = app->add_subcommand(name, what);
    one->add_option("--dir", command->dir, "The station's folder")->required();
    one->add_flag("--json", command->json, "Write JSON");
    one->callback([&program, command, run] { program.exit_code = run(*command); });
    one->footer(std::string("Example: lastlook study ") + example);
    return one;
  };
  CLI::App* planning =
      sub("plan", "Plans one; the kiosk offers it to its inspectors", plan,
          "plan items.csv --dir station --title 'Seals, November' --inspector p-6b1e40c7 "
          "--inspector p-a90f52d3 --approved-by p-58f6a1c2");
  add_plan_options(planning, *command);
  add_approved_by(planning, *command);
  sub("list", "All that were planned, and how far they are", list, "list --dir station");
  CLI::App* ending = sub("end", "Nothing more is rated in it", end,
                         "end s-2f81c0 --dir station --why 'two items fell down' --approved-by "
                         "p-58f6a1c2");
  ending->add_option("STUDY", command->id, "Its id")->required();
  ending->add_option("--why", command->why, "Why")->required();
  add_approved_by(ending, *command);
}

}  // namespace lastlook::commands
