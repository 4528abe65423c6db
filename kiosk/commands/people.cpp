// SPDX-License-Identifier: Apache-2.0
// lastlook people: who may sign in at a station. Names and PINs stay in the station's people.db;
// the journal knows ids only, so a person can be erased and the journal stays whole.
#include "kiosk/records/people.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "kiosk/commands/approver.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/secret.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/flows/sign_in.h"
#include "kiosk/records/records.h"

namespace lastlook::commands {
namespace {

struct PeopleCommand {
  std::string dir, name, role = "inspector", id, until, by;
  bool json = false;
};

void say(const PeopleCommand& command, const Json& json, const std::string& text) {
  fmt::print("{}\n", command.json ? json.dump(2) : text);
}

Result<std::unique_ptr<records::People>> people_of(const PeopleCommand& command) {
  // A folder without a station is a slip of the pen, not a place for people.
  const auto station = records::Records::open_to_read(command.dir);
  if (!station) return tl::unexpected(station.error());
  return records::People::open(command.dir);
}

// As long as a station has no administrator, whoever may write its folder says who may sign in;
// from then on an administrator does.
Status check_keeper(records::People& people, const PeopleCommand& command) {
  const auto all = people.all();
  if (!all) return tl::unexpected(all.error());
  const bool is_kept = std::ranges::any_of(*all, [](const records::Person& person) {
    return domain::may(person.role, domain::Right::keep_people);
  });
  if (is_kept && command.by.empty())
    return fail(Category::refused,
                "--by: this station has an administrator, expected the id of one");
  if (!is_kept && !command.by.empty())
    return fail(Category::bad_input, "--by: this station has no administrator, leave it out");
  if (!is_kept) return {};
  return check_right(people, "--by", command.by, domain::Right::keep_people);
}

Result<std::unique_ptr<records::People>> people_to_change(const PeopleCommand& command) {
  auto people = people_of(command);
  if (!people) return people;
  if (const Status may = check_keeper(**people, command); !may) return tl::unexpected(may.error());
  return people;
}

// The one of whom something is to be changed, and where.
struct OneOfThem {
  std::unique_ptr<records::People> people;
  records::Person person;
};

Result<OneOfThem> one_to_change(const PeopleCommand& command) {
  auto people = people_to_change(command);
  if (!people) return tl::unexpected(people.error());
  const auto all = (*people)->all();
  if (!all) return tl::unexpected(all.error());
  const auto found = std::ranges::find(*all, command.id, &records::Person::id);
  if (found == all->end())
    return fail(Category::not_found,
                fmt::format("--id {}: nobody here has it, see 'lastlook people list'", command.id));
  return OneOfThem{std::move(*people), *found};
}

int list(const PeopleCommand& command) {
  const auto people = people_of(command);
  if (!people) return report(people.error());
  const auto all = (*people)->all();
  if (!all) return report(all.error());
  Json json = Json::array();
  TextTable table("lllll");
  table.row({"id", "name", "role", "qualified until", ""});
  const auto wrong = (*people)->wrong_pins();
  if (!wrong) return report(wrong.error());
  for (const records::Person& person : *all) {
    const std::string role(domain::to_word(person.role));
    const auto misses = wrong->find(person.id);
    const bool locked = misses != wrong->end() && misses->second >= flows::locked_out_after;
    json.push_back({{"id", person.id},
                    {"name", person.name},
                    {"role", role},
                    {"qualified_until",
                     person.qualified_until.empty() ? Json(nullptr) : Json(person.qualified_until)},
                    {"locked_out", locked}});
    table.row({person.id, person.name, role, person.qualified_until,
               locked ? "locked out after wrong PINs" : ""});
  }
  say(command, {{"people", json}}, all->empty() ? "nobody may sign in yet" : table.text());
  return done;
}

int add(const PeopleCommand& command) {
  const auto people = people_to_change(command);
  if (!people) return report(people.error());
  const auto pin = read_secret("a PIN of 4 to 12 digits");
  if (!pin) return report(pin.error());
  const records::Person person{records::new_person_id(), command.name,
                               *domain::from_word<domain::Role>(command.role)};
  if (const Status added = (*people)->add(person, *pin); !added) return report(added.error());
  say(command, {{"id", person.id}, {"name", person.name}, {"role", command.role}},
      fmt::format("{} may sign in as {}, in the journal: {}", person.name, command.role,
                  person.id));
  return done;
}

int change_pin(const PeopleCommand& command) {
  const auto one = one_to_change(command);
  if (!one) return report(one.error());
  const auto& [people, person] = *one;
  const auto pin = read_secret("a new PIN of 4 to 12 digits");
  if (!pin) return report(pin.error());
  if (const Status changed = people->add(person, *pin); !changed) return report(changed.error());
  say(command, {{"id", person.id}}, fmt::format("{} has a new PIN", person.name));
  return done;
}

int qualify(const PeopleCommand& command) {
  const auto one = one_to_change(command);
  if (!one) return report(one.error());
  const auto& [people, person] = *one;
  if (!command.until.empty() && !domain::is_date(command.until))
    return report({Category::bad_input,
                   fmt::format("--until {}: expected a day, 2027-03-31", command.until)});
  if (const Status kept = people->qualify(person.id, command.until); !kept)
    return report(kept.error());
  say(command, {{"id", person.id}, {"until", command.until}},
      command.until.empty()
          ? fmt::format("no day is kept for {} any more", person.name)
          : fmt::format("{} may sign in up to and including {}", person.name, command.until));
  return done;
}

int badge(const PeopleCommand& command) {
  const auto one = one_to_change(command);
  if (!one) return report(one.error());
  const auto& [people, person] = *one;
  const auto code = read_secret("what the badge says when it is scanned; empty: none");
  if (!code) return report(code.error());
  if (const Status given = people->give_badge(person.id, *code); !given)
    return report(given.error());
  say(command, {{"id", person.id}, {"badge", !code->empty()}},
      fmt::format("{} {}", person.name,
                  code->empty() ? "has no badge any more" : "signs in with this badge"));
  return done;
}

int erase(const PeopleCommand& command) {
  const auto one = one_to_change(command);
  if (!one) return report(one.error());
  const auto& [people, person] = *one;
  if (const Status erased = people->erase(person.id); !erased) return report(erased.error());
  say(command, {{"id", person.id}, {"erased", true}},
      fmt::format("the name and PIN of {} are gone; what was done stays in the journal under that "
                  "id",
                  person.id));
  return done;
}

}  // namespace

void add_people(Program& program) {
  CLI::App* app = program.app.add_subcommand("people", "Who may sign in at a station");
  app->require_subcommand(1);
  const auto command = std::make_shared<PeopleCommand>();
  const auto sub = [&](const char* name, const char* what, int (*run)(const PeopleCommand&),
                       const char* example) {
    CLI::App* one = app->add_subcommand(name, what);
    one->add_option("--dir", command->dir, "The station's folder")->required();
    one->add_flag("--json", command->json, "Write JSON");
    one->callback([&program, command, run] { program.exit_code = run(*command); });
    one->footer(std::string("Example: lastlook people ") + example);
    return one;
  };
  const auto by_keeper = [&](CLI::App* one) {
    one->add_option("--by", command->by,
                    "Where the station has an administrator: the id of one, whose PIN is the first "
                    "line of standard input");
  };
  sub("list", "Everyone who may sign in", list, "list --dir station");
  CLI::App* adding = sub("add", "Lets a person sign in; the PIN is read from standard input", add,
                         "add --dir station --name 'Alma Example' --role inspector");
  adding->add_option("--name", command->name, "As the screens show it")
      ->required()
      ->check([](const std::string& name) {
        const bool blank = std::ranges::all_of(name, [](char c) { return c == ' '; });
        return blank ? std::string("is blank, expected a name") : std::string();
      });
  by_keeper(adding);
  adding->add_option("--role", command->role, "What the person may do")
      ->check(CLI::IsMember({"inspector", "supervisor", "quality_engineer", "administrator"}));
  const auto of_one = [&](const char* name, const char* what, int (*run)(const PeopleCommand&),
                          const char* example) {
    CLI::App* one = sub(name, what, run, example);
    one->add_option("--id", command->id, "Who")->required();
    by_keeper(one);
    return one;
  };
  of_one("pin", "Gives a person a new PIN, read from standard input", change_pin,
         "pin --dir station --id p-6b1e40c7");
  of_one("qualify", "Keeps up to which day a person's eyesight test or certificate holds", qualify,
         "qualify --dir station --id p-6b1e40c7 --until 2027-03-31")
      ->add_option("--until", command->until,
                   "The last day; left out: none is kept, and none is asked for");
  of_one("badge", "Gives a person a badge to sign in with; its code is read from standard input",
         badge, "badge --dir station --id p-6b1e40c7");
  of_one("erase", "Takes a name and its PIN away; the journal keeps only the id", erase,
         "erase --dir station --id p-6b1e40c7 --by p-20c4d9aa");
}

}  // namespace lastlook::commands
