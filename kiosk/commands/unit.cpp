// SPDX-License-Identifier: Apache-2.0
// lastlook unit: the whole story of one unit.
#include <fmt/format.h>

#include <map>

#include "kiosk/commands/command.h"
#include "kiosk/commands/field_escapes.h"
#include "kiosk/commands/station_source.h"
#include "kiosk/commands/whereabouts.h"
#include "kiosk/records/pictures.h"

namespace lastlook::commands {
namespace {

using records::LookStory;
using records::UnitStory;

struct UnitCommand {
  std::string serial;
  StationSource source;
  bool people = false;
  Delivery delivery;
};

// Says rows in a person's words or as JSON; persons only where they were asked for.
class Teller {
 public:
  Teller(const UnitCommand& command, const OpenSource& source, LocalTimes times)
      : times_(std::move(times)), view_(source.view()), people_(command.people) {
    if (source.station) pictures_.emplace(source.station->folder() / "pictures");
  }

  Json json(const UnitStory& story) const {
    Json out = {{"serial", story.serial}, {"disputed", story.disputed}};
    out["built"] = Json::array();
    for (const auto& build : story.builds)
      out["built"].push_back({{"variant", build.variant},
                              {"station", build.station},
                              {"made", build.made.empty() ? Json(nullptr) : Json(build.made)},
                              {"time", times_.iso(build.station, build.built_us)}});
    out["parts"] = Json::array();
    for (const auto& part : story.parts)
      out["parts"].push_back(
          {{"part", part.part},
           {"lot", part.lot},
           {"fitted", times_.iso(part.station, part.fitted_us)},
           {"replaced", part.replaced_us == 0 ? Json(nullptr)
                                              : Json(times_.iso(part.station, part.replaced_us))}});
    out["results"] = Json::array();
    for (const auto& result : story.results) out["results"].push_back(json(result));
    out["looks"] = Json::array();
    for (const LookStory& look : story.looks) out["looks"].push_back(json(look));
    out["claims"] = Json::array();
    for (const auto& claim : story.claims) out["claims"].push_back(json(claim));
    out["now"] = times_.json(story.now);
    return out;
  }

  void tell(const UnitStory& story, Reply& reply) const {
    for (const auto& build : story.builds)
      reply.add(fmt::format("{}  built as {}, by the build record at {}",
                            times_.minute(build.station, build.built_us), build.variant,
                            build.station) +
                (build.made.empty() ? "" : ", made on " + build.made));
    if (!story.parts.empty()) reply.add(parts(story));
    if (!story.results.empty()) reply.add(results(story));
    for (const LookStory& look : story.looks) tell(look, reply);
    for (const auto& claim : story.claims) tell(claim, reply);
    if (story.disputed) reply.add("two bodies carry this serial");
    reply.add("now: " + times_.in_words(story.now));
  }

 private:
  void add_person(Json& out, const char* name, const std::string& person) const {
    if (people_ && !person.empty()) out[name] = person;
  }

  Json picture(const std::string& hash) const {
    if (hash.empty()) return nullptr;
    std::string file = "not here, see 'lastlook plant picture'";
    const auto pruned = records::rows<records::PrunedPictureRow>(view_.store, {hash});
    if (pruned && !pruned->empty()) file = "taken away to make room";
    if (pictures_) {
      const auto whole = pictures_->is_whole(hash);
      std::error_code trouble;
      const bool exists = std::filesystem::exists(pictures_->path_of(hash), trouble);
      if (!whole)
        file = "cannot be read: " + whole.error().message;
      else if (trouble)
        file = "cannot be read: " + trouble.message();
      else
        file = *whole                       ? "there"
               : exists                     ? "altered"
               : pruned && !pruned->empty() ? file
                                            : "missing";
    }
    return {{"hash", hash}, {"file", file}};
  }

  std::string component(const std::string& id) const {
    const domain::Component* known = view_.master.component(id);
    return known ? known->name : id;
  }
  std::string defect(const std::string& id) const {
    const domain::Defect* known = view_.master.defect(id);
    return known ? known->name : id;
  }

  Json json(const records::UpstreamResultRow& row) const {
    Json out = {{"test", domain::to_word(row.test)},
                {"passed", row.passed},
                {"value", row.value},
                {"station", row.station},
                {"measured", row.measured_us == 0 ? Json(nullptr)
                                                  : Json(times_.iso(row.station, row.measured_us))},
                {"arrived", times_.iso(row.station, row.arrived_us)},
                {"on_paper", row.on_paper},
                {"voided_by", row.voided_by}};
    add_person(out, "first_person", row.first_person);
    add_person(out, "second_person", row.second_person);
    return out;
  }

  Json json(const records::ClaimRow& claim) const {
    const bool judged = claim.verdict.has_value();
    return {{"claim", claim.claim},
            {"reported", claim.reported},
            {"complaint", claim.complaint},
            {"entered_at", claim.station},
            {"opened", times_.iso(claim.station, claim.opened_us)},
            {"verdict", judged ? Json(domain::to_word(*claim.verdict)) : Json()},
            {"component", claim.component},
            {"defect", claim.defect},
            {"why", claim.why},
            {"judged", judged ? Json(times_.iso(claim.station, claim.judged_us)) : Json()}};
  }

  void tell(const records::ClaimRow& claim, Reply& reply) const {
    reply.add(fmt::format("{}  came back from the field, claim {}: {}", claim.reported, claim.claim,
                          claim.complaint));
    if (!claim.verdict) return reply.add("  not judged yet: ought the last look to have seen it?");
    std::string line = fmt::format("  judged {}", in_words(*claim.verdict));
    if (!claim.component.empty()) line += ": " + component(claim.component);
    if (!claim.defect.empty()) line += ", " + defect(claim.defect);
    reply.add(line + "; " + claim.why);
  }

  Json json(const LookStory& story) const {
    const records::LookRow& look = story.look;
    const auto time = [&](std::int64_t us) {
      return us == 0 ? Json(nullptr) : Json(times_.iso(look.station, us));
    };
    Json out = {{"look", look.look},
                {"number", look.number},
                {"second_of", look.second_of},
                {"station", look.station},
                {"ticket", look.ticket},
                {"variant", look.variant},
                {"variant_source", domain::to_word(look.variant_source)},
                {"revision", look.revision},
                {"state", look.state},
                {"opened", time(look.opened_us)},
                {"closed", time(look.closed_us)},
                {"production_date", look.production_date},
                {"shift", look.shift}};
    if (look.state == "parked")
      out["parked"] = {{"since", time(look.parked_us)}, {"why", look.park_reason}};
    out["disposition"] =
        look.disposition ? Json(domain::to_word(*look.disposition)) : Json(nullptr);
    out["why"] = look.why;
    out["concession"] = look.concession;
    add_person(out, "closed_by", look.closed_by);
    out["answers"] = answers(story);
    out["findings"] = findings(story);
    out["opinions"] = opinions(story);
    out["corrections"] = Json::array();
    for (const auto& one : story.corrections) {
      Json row = {{"time", time(one.corrected_us)},
                  {"from", domain::to_word(one.before)},
                  {"to", domain::to_word(one.after)},
                  {"why", one.why}};
      add_person(row, "person", one.person);
      out["corrections"].push_back(std::move(row));
    }
    out["released"] = nullptr;
    if (story.release) {
      out["released"] = {{"time", time(story.release->released_us)},
                         {"why", story.release->why},
                         {"by_two", !story.release->second_person.empty()}};
      add_person(out["released"], "person", story.release->person);
      add_person(out["released"], "second_person", story.release->second_person);
    }
    return out;
  }

  Json answers(const LookStory& story) const {
    Json all = Json::array();
    for (const auto& one : story.answers) {
      Json row = {{"component", one.component},
                  {"answer", domain::to_word(one.answer)},
                  {"first_answer", domain::to_word(one.first_answer)},
                  {"corrections", one.corrections},
                  {"opinion_shown", one.opinion_shown},
                  {"time", times_.iso(story.look.station, one.answered_us)}};
      add_person(row, "person", one.person);
      all.push_back(std::move(row));
    }
    return all;
  }

  Json findings(const LookStory& story) const {
    Json all = Json::array();
    for (const auto& one : story.findings) {
      Json row = {{"component", one.component},
                  {"defect", one.defect},
                  {"severity", domain::to_word(one.severity)},
                  {"note", one.note},
                  {"picture", picture(one.picture)},
                  {"withdrawn", one.withdrawn},
                  {"withdrawn_why", one.withdrawn_why},
                  {"first_seen_in", one.first_look},
                  {"time", times_.iso(story.look.station, one.found_us)}};
      row["place"] = one.place_x && one.place_y ? Json{*one.place_x, *one.place_y} : Json(nullptr);
      add_person(row, "person", one.person);
      all.push_back(std::move(row));
    }
    return all;
  }

  Json opinions(const LookStory& story) const {
    Json all = Json::array();
    for (const auto& one : story.opinions)
      all.push_back({{"component", one.component},
                     {"opinion", domain::to_word(one.opinion)},
                     {"conforming", one.conforming},
                     {"score", one.score},
                     {"reason", one.reason},
                     {"model", one.model},
                     {"picture", picture(one.picture)},
                     {"time", times_.iso(story.look.station, one.given_us)}});
    return all;
  }

  TextTable parts(const UnitStory& story) const {
    TextTable table("lll");
    table.row({"part inside", "lot", ""});
    for (const auto& row : story.parts)
      table.row({row.part, row.lot,
                 row.replaced_us == 0
                     ? ""
                     : "replaced, known since " + times_.minute(row.station, row.replaced_us)});
    return table;
  }

  TextTable results(const UnitStory& story) const {
    TextTable table("llll");
    table.row({"test", "", "value", "arrived"});
    for (const auto& row : story.results)
      table.row({std::string(domain::to_word(row.test)),
                 std::string(row.passed ? "passed" : "failed") +
                     (row.on_paper ? ", on paper" : "") + (row.voided_by.empty() ? "" : ", voided"),
                 row.value, times_.minute(row.station, row.arrived_us)});
    return table;
  }

  void tell(const LookStory& story, Reply& reply) const {
    const records::LookRow& look = story.look;
    std::string line = fmt::format(
        "{}  {}look {} at {}", times_.minute(look.station, look.opened_us),
        look.second_of.empty() ? "" : "blind repetition of ", look.number, look.station);
    if (!look.ticket.empty()) line += ", under ticket " + look.ticket;
    line += fmt::format(", as {} under revision {}", look.variant, look.revision);
    reply.add(line);
    TextTable table("llll");
    table.row({"component", "answer", "camera", "found"});
    for (const auto& answer : story.answers)
      table.row({component(answer.component), answered(answer), camera(story, answer.component),
                 found(story, answer.component)});
    for (const auto& finding : story.findings)
      if (!is_answered(story, finding.component))
        table.row({component(finding.component), "", camera(story, finding.component),
                   found(story, finding.component)});
    if (table.rows().size() > 1) reply.add(std::move(table));
    tell_end(story, reply);
  }

  static bool is_answered(const LookStory& story, const std::string& component) {
    return std::ranges::count(story.answers, component, &records::StepAnswerRow::component) > 0;
  }

  static std::string answered(const records::StepAnswerRow& answer) {
    std::string text(domain::to_word(answer.answer));
    if (answer.first_answer != answer.answer)
      text += fmt::format(", at first {}", domain::to_word(answer.first_answer));
    return text;
  }

  static std::string camera(const LookStory& story, const std::string& component) {
    const auto one = std::ranges::find(story.opinions, component, &records::OpinionRow::component);
    return one == story.opinions.end() ? "" : std::string(domain::to_word(one->opinion));
  }

  std::string found(const LookStory& story, const std::string& component) const {
    std::vector<std::string> all;
    for (const auto& one : story.findings) {
      if (one.component != component) continue;
      all.push_back(fmt::format("{}, {}{}", defect(one.defect), domain::to_word(one.severity),
                                one.withdrawn ? " (taken back: " + one.withdrawn_why + ")" : ""));
    }
    return fmt::format("{}", fmt::join(all, "; "));
  }

  void tell_end(const LookStory& story, Reply& reply) const {
    const records::LookRow& look = story.look;
    if (!look.disposition) return;
    const auto first =
        story.corrections.empty() ? *look.disposition : story.corrections.front().before;
    const auto why = story.corrections.empty() ? look.why : story.corrections.front().why_before;
    reply.add(fmt::format("{}  {}{}{}", times_.minute(look.station, look.closed_us),
                          domain::to_word(first), why.empty() ? "" : ": " + why,
                          look.concession.empty() ? "" : ", under concession " + look.concession));
    for (const auto& one : story.corrections)
      reply.add(fmt::format("{}  corrected to {}: {}",
                            times_.minute(look.station, one.corrected_us),
                            domain::to_word(one.after), one.why));
    if (story.release)
      reply.add(fmt::format(
          "{}  hold released{}: {}", times_.minute(look.station, story.release->released_us),
          story.release->second_person.empty() ? "" : " by two people", story.release->why));
  }

  LocalTimes times_;
  records::View view_;
  bool people_;
  std::optional<records::Pictures> pictures_;
};

int unit(UnitCommand& command) {
  if (const Status s = check_source(command.source); !s) return report(s.error());
  const auto source = open_source(command.source);
  if (!source) return report(source.error());
  const auto story = records::unit_story(source->view(), command.serial);
  if (!story) return report(story.error());
  if (!*story) {
    fmt::print(stderr, "lastlook: {}: the serial '{}' was never seen, {}\n", command.source.name(),
               command.serial, as_of_in_words(source->as_of));
    return says_no;
  }
  auto times = LocalTimes::of(*source);
  if (!times) return report(times.error());
  const Teller teller(command, *source, *std::move(times));
  Reply reply("Unit " + command.serial);
  teller.tell(**story, reply);
  add_as_of(reply, *source);
  const Status said = deliver(command.delivery, reply, [&] {
    Json json = teller.json(**story);
    add_as_of(json, *source);
    return json;
  });
  return said ? done : report(said.error());
}

}  // namespace

void add_unit(Program& program) {
  auto command = std::make_shared<UnitCommand>();
  CLI::App* app = program.app.add_subcommand("unit", "Tells the whole story of one unit");
  app->add_option("SERIAL", command->serial, "The unit's serial")->required();
  auto* dir = app->add_option("--dir", command->source.dir, "The station's folder");
  app->add_option("--plant", command->source.plant,
                  "A plant's store, where a unit has one history over all stations")
      ->excludes(dir);
  app->add_flag("--people", command->people,
                "Says by which person, by their pseudonymous id: for that person and the quality "
                "engineer, under the site's rules");
  add_pages(app, command->delivery);
  app->add_flag("--json", command->delivery.json, "Writes JSON");
  app->footer(
      "Examples:\n  lastlook unit 26330-00417 --plant sqlite:plant.db\n"
      "  lastlook unit 26330-00417 --dir station --pdf unit.pdf");
  app->callback([&program, command] { program.exit_code = unit(*command); });
}

}  // namespace lastlook::commands
