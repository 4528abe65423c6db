// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/master_json.h"

#include "kiosk/text/json_cursor.h"

namespace lastlook::text {
namespace {

using domain::to_word;
using nlohmann::json;

constexpr const char* expectations = "'present' or 'absent'";
constexpr const char* manners = "'look', 'turn', 'touch' or 'tug'";
constexpr const char* severities = "'critical', 'major' or 'minor'";
constexpr const char* tests = "'dimensions', 'leak', 'fill_mass', 'torque_angle' or 'functional'";
constexpr const char* hold_rules = "'anyone', 'supervisor' or 'two_people'";
constexpr const char* revision_rules = "'quality_engineer' or 'two_people'";
constexpr const char* away_rules = "'local_file', 'paper_two_people' or 'wait'";

std::string optional_text(const JsonCursor& from, const char* key) {
  return from.has(key) ? from.at(key).text() : std::string();
}

domain::Component read_component(const JsonCursor& from) {
  const JsonCursor box = from.at("box");
  return {from.at("id").text(),
          from.at("name").text(),
          {box.at("x").fraction(), box.at("y").fraction(), box.at("w").fraction(),
           box.at("h").fraction()}};
}

domain::Step read_step(const JsonCursor& from) {
  domain::Step step{from.at("component").text(),
                    from.at("expected").word<domain::Expectation>(expectations),
                    optional_text(from, "instruction")};
  if (from.has("by")) step.by = from.at("by").word<domain::Manner>(manners);
  if (from.has("answer_first")) step.answer_first = from.at("answer_first").yes_or_no();
  return step;
}

domain::Variant read_variant(const JsonCursor& from) {
  domain::Variant variant{from.at("id").text(),
                          from.at("name").text(),
                          optional_text(from, "body"),
                          optional_text(from, "tag_type"),
                          {}};
  for (const JsonCursor& step : from.at("checklist").items())
    variant.checklist.push_back(read_step(step));
  return variant;
}

domain::ReactionPlan read_plan(const JsonCursor& from) {
  return {from.at("id").text(),
          from.at("defect").text(),
          optional_text(from, "component"),
          from.at("times").small_integer(),
          from.at("in_units").small_integer(),
          from.at("what").text(),
          optional_text(from, "call")};
}

domain::LimitSample read_sample(const JsonCursor& from) {
  return {from.at("component").text(), from.at("defect").text(), from.at("conforming").yes_or_no(),
          from.at("picture").text(), optional_text(from, "note")};
}

domain::Viewing read_viewing(const JsonCursor& from) {
  return {from.at("least_lux").small_integer(), from.at("distance_cm").small_integer()};
}

domain::Defect read_defect(const JsonCursor& from) {
  domain::Defect defect;
  defect.id = from.at("id").text();
  defect.name = from.at("name").text();
  defect.severity = from.at("severity").word<domain::Severity>(severities);
  if (from.has("components"))
    for (const JsonCursor& component : from.at("components").items())
      defect.components.push_back(component.text());
  if (from.has("only_when"))
    defect.only_when = from.at("only_when").word<domain::Expectation>(expectations);
  if (from.has("voids"))
    for (const JsonCursor& test : from.at("voids").items())
      defect.voids.push_back(test.word<domain::UpstreamTest>(tests));
  return defect;
}

domain::ChallengePart read_challenge_part(const JsonCursor& from) {
  domain::ChallengePart part{from.at("serial").text(), from.at("variant").text(), {}};
  if (from.has("faults"))
    for (const JsonCursor& component : from.at("faults").items())
      part.faults.push_back(component.text());
  return part;
}

domain::SecondLookRates read_second_looks(const JsonCursor& from) {
  const auto rate = [&](const char* key) { return from.has(key) ? from.at(key).fraction() : 0.0; };
  return {rate("accept"), rate("rework"), rate("scrap")};
}

void read_how_it_is_looked_at(const JsonCursor& from, domain::Master& master) {
  if (from.has("answer_first_rate"))
    master.answer_first_rate = from.at("answer_first_rate").fraction();
  if (from.has("answer_together")) master.answer_together = from.at("answer_together").yes_or_no();
  if (from.has("reaction_plans"))
    for (const JsonCursor& plan : from.at("reaction_plans").items())
      master.reaction_plans.push_back(read_plan(plan));
  if (from.has("limit_samples"))
    for (const JsonCursor& sample : from.at("limit_samples").items())
      master.limit_samples.push_back(read_sample(sample));
  if (from.has("viewing")) master.viewing = read_viewing(from.object("viewing"));
  master.help = optional_text(from, "help");
}

domain::Master read(const JsonCursor& from) {
  domain::Master master;
  master.revision = from.at("revision").integer();
  master.product = from.at("product").text();
  master.tag_pattern = from.at("tag_pattern").text();
  for (const JsonCursor& component : from.at("components").items())
    master.components.push_back(read_component(component));
  for (const JsonCursor& variant : from.at("variants").items())
    master.variants.push_back(read_variant(variant));
  for (const JsonCursor& defect : from.at("defects").items())
    master.defects.push_back(read_defect(defect));
  for (const JsonCursor& shift : from.at("shifts").items())
    master.shifts.push_back(
        {shift.at("id").text(), shift.at("name").text(), shift.at("start_min").small_integer()});
  master.day_starts_with = optional_text(from, "day_starts_with");
  for (const JsonCursor& rule : from.at("required_results").items())
    master.required_results.push_back({rule.at("test").word<domain::UpstreamTest>(tests),
                                       rule.at("away").word<domain::AwayRule>(away_rules)});
  if (from.has("double_scan_s")) master.double_scan_s = from.at("double_scan_s").small_integer();
  if (from.has("lock_after_min")) master.lock_after_min = from.at("lock_after_min").small_integer();
  if (from.has("challenge_parts"))
    for (const JsonCursor& part : from.at("challenge_parts").items())
      master.challenge_parts.push_back(read_challenge_part(part));
  if (from.has("assist_needs_proof"))
    master.assist_needs_proof = from.at("assist_needs_proof").yes_or_no();
  if (from.has("second_looks"))
    master.second_looks = read_second_looks(from.object("second_looks"));
  if (from.has("hold_release"))
    master.hold_release = from.at("hold_release").word<domain::HoldRule>(hold_rules);
  if (from.has("revision_approval"))
    master.revision_approval =
        from.at("revision_approval").word<domain::RevisionRule>(revision_rules);
  if (from.has("picture_sample")) master.picture_sample = from.at("picture_sample").fraction();
  read_how_it_is_looked_at(from, master);
  return master;
}

json write_variant(const domain::Variant& variant) {
  json checklist = json::array();
  for (const domain::Step& step : variant.checklist)
    checklist.push_back({{"component", step.component},
                         {"expected", to_word(step.expected)},
                         {"instruction", step.instruction},
                         {"by", to_word(step.by)},
                         {"answer_first", step.answer_first}});
  return {{"id", variant.id},
          {"name", variant.name},
          {"body", variant.body},
          {"tag_type", variant.tag_type},
          {"checklist", checklist}};
}

json write_defect(const domain::Defect& defect) {
  json out = {{"id", defect.id},
              {"name", defect.name},
              {"severity", to_word(defect.severity)},
              {"components", defect.components},
              {"voids", json::array()}};
  if (defect.only_when) out["only_when"] = to_word(*defect.only_when);
  for (const domain::UpstreamTest test : defect.voids) out["voids"].push_back(to_word(test));
  return out;
}

template <class Items, class Write>
json list(const Items& items, Write write) {
  json all = json::array();
  for (const auto& item : items) all.push_back(write(item));
  return all;
}

// What is given and would not be written again: the first key's path; empty: there is none.
std::string unread(const json& given, const json& written, const std::string& path) {
  if (given.is_array())
    for (std::size_t i = 0; i < given.size(); ++i)
      if (const auto found = unread(given[i], written[i], fmt::format("{}[{}]", path, i));
          !found.empty())
        return found;
  if (!given.is_object()) return "";
  for (const auto& [key, value] : given.items()) {
    const std::string at = path.empty() ? key : path + "." + key;
    const auto known = written.find(key);
    if (known == written.end()) return at;
    if (const auto found = unread(value, *known, at); !found.empty()) return found;
  }
  return "";
}

}  // namespace

Result<domain::Master> read_master(const std::string& text) {
  try {
    const json document = json::parse(text);
    domain::Master master = read(JsonCursor(document, ""));
    return domain::check(master).map([&] { return std::move(master); });
  } catch (const Error& error) {
    return tl::unexpected<Error>(error);
  } catch (const json::exception& error) {
    return fail(Category::bad_input, error.what());
  }
}

std::string write_master(const domain::Master& master) {
  const auto component = [](const domain::Component& c) -> json {
    return {{"id", c.id},
            {"name", c.name},
            {"box", {{"x", c.box.x}, {"y", c.box.y}, {"w", c.box.w}, {"h", c.box.h}}}};
  };
  const auto shift = [](const domain::Shift& s) -> json {
    return {{"id", s.id}, {"name", s.name}, {"start_min", s.start_min}};
  };
  const auto rule = [](const domain::UpstreamRule& r) -> json {
    return {{"test", to_word(r.test)}, {"away", to_word(r.away)}};
  };
  const auto part = [](const domain::ChallengePart& p) -> json {
    return {{"serial", p.serial}, {"variant", p.variant}, {"faults", p.faults}};
  };
  const auto plan = [](const domain::ReactionPlan& p) -> json {
    return {{"id", p.id},       {"defect", p.defect},     {"component", p.component},
            {"times", p.times}, {"in_units", p.in_units}, {"what", p.what},
            {"call", p.call}};
  };
  const auto sample = [](const domain::LimitSample& s) -> json {
    return {{"component", s.component},
            {"defect", s.defect},
            {"conforming", s.conforming},
            {"picture", s.picture},
            {"note", s.note}};
  };
  json document = {{"revision", master.revision},
                   {"product", master.product},
                   {"tag_pattern", master.tag_pattern},
                   {"components", list(master.components, component)},
                   {"variants", list(master.variants, write_variant)},
                   {"defects", list(master.defects, write_defect)},
                   {"shifts", list(master.shifts, shift)},
                   {"day_starts_with", master.day_starts_with},
                   {"required_results", list(master.required_results, rule)},
                   {"double_scan_s", master.double_scan_s},
                   {"lock_after_min", master.lock_after_min},
                   {"challenge_parts", list(master.challenge_parts, part)},
                   {"assist_needs_proof", master.assist_needs_proof},
                   {"second_looks",
                    {{"accept", master.second_looks.accept},
                     {"rework", master.second_looks.rework},
                     {"scrap", master.second_looks.scrap}}},
                   {"hold_release", to_word(master.hold_release)},
                   {"revision_approval", to_word(master.revision_approval)},
                   {"picture_sample", master.picture_sample},
                   {"answer_first_rate", master.answer_first_rate},
                   {"answer_together", master.answer_together},
                   {"reaction_plans", list(master.reaction_plans, plan)},
                   {"limit_samples", list(master.limit_samples, sample)},
                   {"help", master.help}};
  if (master.viewing)
    document["viewing"] = {{"least_lux", master.viewing->least_lux},
                           {"distance_cm", master.viewing->distance_cm}};
  return document.dump(1);
}

Result<domain::Master> read_new_master(const std::string& given) {
  auto master = read_master(given);
  if (!master) return master;
  const std::string path = unread(json::parse(given), json::parse(write_master(*master)), "");
  if (!path.empty())
    return fail(Category::bad_input, path + ": nothing reads it, expected a key of the schema");
  return master;
}

}  // namespace lastlook::text
