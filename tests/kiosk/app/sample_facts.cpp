// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/app/sample_facts.h"

#include <fmt/format.h>

#include <algorithm>

#include "analytics/comparison_chart.h"
#include "analytics/pareto.h"
#include "tests/places.h"

namespace lastlook::screens {
namespace {

using namespace domain;

struct Part {
  const char *id, *name, *instruction;
  Box box;
};

constexpr std::int64_t minute_us = 60'000'000, now_us = 1'795'591'800'000'000;

const std::vector<Part>& parts() {
  static const std::vector<Part> list{
      {"tag", "Tag", "White label, straight, in its field, print clear.", {.19, .55, .17, .12}},
      {"seal",
       "Connector seal",
       "Orange ring, all round, down in the connector.",
       {.055, .3, .108, .092}},
      {"clip", "Plug clip", "Bright wire, both legs hooked on the plug.", {.05, .504, .1, .126}},
      {"lid", "Lid", "Dark ribbed cover, flat, four screws.", {.196, .243, .284, .24}},
      {"ground_strap",
       "Ground strap",
       "Copper braid, both ends under their screws.",
       {.384, .58, .202, .06}},
      {"grommet_1", "Grommet 1", "Black rubber, flush, left rear ear.", {.233, .135, .074, .093}},
      {"grommet_2", "Grommet 2", "Black rubber, flush, right rear ear.", {.503, .135, .073, .093}},
      {"inlet_plug", "Inlet cap", "Blue cap, pressed home, not tilted.", {.68, .26, .14, .185}},
      {"grommet_3", "Grommet 3", "Black rubber, flush, front ear.", {.656, .68, .08, .103}},
      {"outlet_plug", "Outlet cap", "Blue cap, pressed home, not tilted.", {.81, .7, .127, .107}}};
  return list;
}

Variant variant(const char* id, const char* body, const char* tag_type, bool bare) {
  Variant out{id, id, body, tag_type, {}};
  for (const Part& part : parts()) {
    const bool absent = bare && (std::string(part.id) == "lid" || part.id[1] == 'r');
    out.checklist.push_back({part.id, absent ? Expectation::absent : Expectation::present,
                             absent ? "Nothing there: the bare deck shows." : part.instruction});
  }
  return out;
}

Master master() {
  Master m;
  m.revision = 1;
  m.product = "Electric coolant pump";
  for (const Part& part : parts()) m.components.push_back({part.id, part.name, part.box});
  m.variants = {
      variant("CP-210", "Dark ribbed lid on the deck, copper strap beside it", "CP210", false),
      variant("CP-210N", "Bare deck: no lid, no strap", "CP210N", true)};
  for (const char* name : {"Missing", "Tag of another type", "Turned", "Out of its field",
                           "Print unreadable", "Damaged", "Dirty"})
    m.defects.push_back({name, name, Severity::major, {}, Expectation::present, {}});
  m.defects.push_back(
      {"not_wanted", "There, but should not be", Severity::critical, {}, Expectation::absent, {}});
  m.defects.push_back({something_else, "Something else", Severity::major, {}, {}, {}});
  m.challenge_parts = {{"26346-00867", "CP-210", {}},
                       {"26341-00738",
                        "CP-210",
                        {"tag", "inlet_plug", "outlet_plug", "grommet_2", "ground_strap", "clip"}},
                       {"26345-00677", "CP-210N", {}},
                       {"26328-00331", "CP-210N", {"seal", "lid", "ground_strap"}}};
  m.assist_needs_proof = true;
  m.variants[0].checklist[4].by = Manner::tug;  // the strap
  m.limit_samples = {{"lid", "Damaged", true, "x", "Edges parallel to the deck, four screws."},
                     {"lid", "Damaged", false, "x", "A corner stands up, a screw hole shows."}};
  m.reaction_plans = {
      {"lids", "Damaged", "lid", 3, 20,
       "Stop the feed of lids and set the last five units apart. Look at the seat of "
       "the lid press.",
       "Setter of the closing station"}};
  m.viewing = Viewing{1000, 60};
  m.help = "the supervisor on the floor";
  m.answer_together = true;
  m.shifts = {{"early", "Early shift", 360}, {"late", "Late shift", 840}};
  return m;
}

std::unique_ptr<Sample> sample(std::string name) {
  auto s = std::make_unique<Sample>();
  s->name = std::move(name);
  s->say = text::Strings::load(source_dir() + "/assets/strings/en.json").value();
  s->inspection.master = master();
  Facts& f = s->facts;
  f.say = &s->say;
  f.inspection = &s->inspection;
  f.station = "LL-1";
  f.time = "07:42";
  f.date = "2026-11-25";
  f.now_us = now_us;
  f.language = "en";
  f.languages = {{"de", "Deutsch"},
                 {"en", "English"},
                 {"es", "Español"},
                 {"pl", "Polski"},
                 {"zh", "简体中文"}};
  f.people = {{"p-1", "Alma Example", Role::inspector},
              {"p-2", "Berk Tanrıverdi", Role::inspector},
              {"p-3", "Chiara Moretti", Role::inspector},
              {"p-4", "Dariusz Wójcik", Role::supervisor},
              {"p-5", "Eleni Παππά", Role::quality_engineer}};
  f.camera.state = "none";
  f.shift = {.looks = 131, .accept = 118, .rework = 9, .hold = 3, .scrap = 1};
  return s;
}

std::unique_ptr<Sample> signed_in(std::string name) {
  auto s = sample(std::move(name));
  s->inspection.person = "p-2";
  s->facts.person_name = "Berk Tanrıverdi";
  s->facts.caution_seen = true;
  return s;
}

std::unique_ptr<Sample> looking(std::string name, const char* variant, std::size_t answered) {
  auto s = signed_in(std::move(name));
  flows::OpenLook look;
  look.master = s->inspection.master;
  look.opened.look = "k-1";
  look.opened.serial = "26330-00417";
  look.variant = variant;
  const Variant* built = s->inspection.master.variant(variant);
  if (built)
    for (const Step& step : built->checklist)
      look.steps.push_back(
          {step, look.steps.size() < answered ? Answer::conforming : Answer::not_answered, {}});
  s->inspection.open = look;
  s->facts.one_by_one = true;
  s->facts.samples = {{1, 4.0F / 3.0F}, {1, 4.0F / 3.0F}};
  s->facts.withheld = WithheldFacts{"tag_not_read", {}};
  return s;
}

void give_opinion(Sample& s, const char* component, Opinion opinion, const char* conforming,
                  const char* reason) {
  OpinionGiven given;
  ComponentOpinion one;
  one.component = component;
  one.opinion = opinion;
  one.conforming = conforming;
  one.reason = reason;
  given.components = {one};
  s.inspection.open->opinion = given;
}

FindingAdded finding(const char* component, const char* defect, Place place) {
  FindingAdded f;
  f.look = "k-1";
  f.finding = std::string("f-") + component;
  f.component = component;
  f.defect = defect;
  f.place = place;
  return f;
}

using Samples = std::vector<std::unique_ptr<Sample>>;

void add_people(Samples& out) {
  out.push_back(sample("sign_in"));
  out.push_back(sample("sign_in_languages"));
  out.back()->touches = {"languages"};
  out.push_back(sample("pin"));
  out.back()->touches = {"person.p-2", "pin.1", "pin.2"};
  out.push_back(sample("pin_wrong"));
  out.back()->touches = {"person.p-5"};
  out.back()->facts.pin_problem = "sign_in.wrong_pin";
  out.push_back(looking("sign_in_locked", "CP-210N", 2));
  out.back()->facts.locked = true;
  for (const auto& [name, bar, touches] :
       {std::tuple("barred_locked_out", Bar::locked_out, std::vector<std::string>{}),
        std::tuple("barred_not_qualified", Bar::not_qualified, std::vector<std::string>{}),
        std::tuple("barred_how_long", Bar::not_qualified,
                   std::vector<std::string>{"allow_why.renewed"}),
        std::tuple("barred_who", Bar::not_qualified,
                   std::vector<std::string>{"allow_why.renewed", "allow_for.four"})}) {
    out.push_back(sample(name));
    out.back()->facts.barred = Facts::Barred{"p-2", bar};
    out.back()->touches = touches;
  }
  out.push_back(sample("sign_in_nobody"));
  out.back()->facts.people.clear();
  out.push_back(signed_in("start"));
  out.back()->facts.caution_seen = false;
  out.push_back(signed_in("start_languages"));
  out.back()->facts.caution_seen = false;
  out.back()->touches = {"languages"};
}

void add_waiting(Samples& out) {
  out.push_back(signed_in("waiting"));
  out.push_back(signed_in("waiting_offer_parked"));
  out.back()->facts.camera.offered_code = "CP210N-26330-00417";
  for (const char* serial : {"26330-00398", "26330-00401", "26330-00402", "26330-00409"}) {
    flows::OpenLook look;
    look.opened.look = serial;
    look.opened.serial = serial;
    look.parked = LookParked{serial, ParkReason::waiting_for_result, ""};
    out.back()->inspection.parked.push_back(look);
  }
  out.push_back(signed_in("waiting_sent"));
  out.back()->facts.sending = sync::CourierStatus{0, now_us, 60, ""};
  out.back()->facts.room = records::Room{9'000'000'000, 64'000'000'000, 1'000'000'000};
  out.push_back(signed_in("waiting_not_sent"));
  out.back()->facts.sending = sync::CourierStatus{
      214, now_us, 60,
      "the store is not reachable: could not translate host name \"plant-server\" to address: "
      "Name or service not known"};
  out.push_back(signed_in("waiting_notice"));
  out.back()->facts.notices = {"This does not read as a tag: https://x.example/abcdefgh"};
  for (const char* modal : {"type_serial", "no_tag", "sign_out"}) {
    out.push_back(signed_in(std::string("waiting_") + modal));
    out.back()->touches = {modal};
  }
  out.push_back(looking("variant", "", 0));
}

// All that the camera can call right, but the tag.
void call_right(Sample& s) {
  OpinionGiven given;
  for (const flows::StepState& step : s.inspection.open->steps) {
    ComponentOpinion one;
    one.component = step.step.component;
    one.conforming = one.component == "tag" ? "unsure" : "yes";
    one.opinion = one.component == "tag" ? Opinion::unsure : Opinion::present;
    given.components.push_back(one);
  }
  s.inspection.open->opinion = given;
  s.facts.one_by_one = false;
  s.facts.withheld.reset();
}

void add_together(Samples& out) {
  out.push_back(looking("together", "CP-210", 0));
  call_right(*out.back());
  out.back()->inspection.open->steps[4].answer = Answer::conforming;
  out.push_back(looking("together_looking", "CP-210", 0));
  call_right(*out.back());
  out.back()->inspection.open->steps[4].answer = Answer::conforming;
  out.back()->inspection.open->opinion.reset();
  out.push_back(looking("together_few", "CP-210", 6));
  call_right(*out.back());
  out.push_back(looking("together_park", "CP-210", 6));
  call_right(*out.back());
  out.back()->touches = {"park"};
  out.push_back(looking("look_answer_first", "CP-210", 3));
  out.back()->inspection.open->steps[3].first = flows::AnswerFirst::due;
  out.push_back(looking("look_once_more", "CP-210", 4));
  out.back()->inspection.open->steps[3].first = flows::AnswerFirst::differs;
  give_opinion(*out.back(), "lid", Opinion::not_right, "no", "turned");
  out.push_back(looking("look_samples", "CP-210", 3));
  out.back()->facts.revised_step = 3;
  out.back()->touches = {"samples"};
}

Reaction lids(std::int64_t times) {
  Reaction one;
  one.reaction = "lids-k-1";
  one.plan = "lids";
  one.defect = "Damaged";
  one.component = "lid";
  one.times = times;
  one.in_units = 20;
  one.raised_us = now_us - 9 * minute_us;
  return one;
}

void add_what_is_done(Samples& out) {
  out.push_back(signed_in("help"));
  out.back()->facts.help = HelpCall{"h-1", "LL-1", "", now_us - 2 * minute_us, 0};
  out.back()->facts.help_shown = true;
  out.push_back(looking("help_meanwhile", "CP-210", 2));
  out.back()->facts.help = HelpCall{"h-1", "LL-1", "k-1", now_us - 2 * minute_us, 0};
  for (const Role role : {Role::inspector, Role::supervisor}) {
    out.push_back(signed_in("reaction_" + std::string(to_word(role))));
    out.back()->inspection.role = role;
    out.back()->facts.reactions = {lids(3)};
    out.back()->facts.reaction_shown = "lids-k-1";
  }
  out.push_back(signed_in("waiting_reaction"));
  out.back()->facts.reactions = {lids(3), lids(4)};
  out.push_back(signed_in("viewing"));
  out.back()->facts.viewing_due = true;
  out.push_back(signed_in("viewing_good"));
  out.back()->facts.viewing_due = true;
  out.back()->touches = {
      "viewing.lamp.yes", "viewing.distance.yes", "viewing.lux", "keypad.1", "keypad.2", "keypad.0",
      "keypad.0",         "keypad.done"};
  out.push_back(signed_in("viewing_bad"));
  out.back()->facts.viewing_due = true;
  out.back()->touches = {
      "viewing.lamp.no", "viewing.distance.yes", "viewing.lux", "keypad.9", "keypad.9",
      "keypad.9",        "keypad.done"};
  out.push_back(signed_in("viewing_allowed"));
  out.back()->facts.viewing_due = true;
  out.back()->touches = {
      "viewing.lamp.no", "viewing.distance.yes", "viewing.lux",  "keypad.9", "keypad.9",
      "keypad.9",        "keypad.done",          "viewing.allow"};
}

void add_looks(Samples& out) {
  out.push_back(looking("look_first", "CP-210", 0));
  out.push_back(looking("look_strap", "CP-210", 4));
  give_opinion(*out.back(), "ground_strap", Opinion::present, "yes", "as_taught");
  out.push_back(looking("look_absent", "CP-210N", 3));
  give_opinion(*out.back(), "lid", Opinion::present, "no", "as_taught");
  out.push_back(looking("look_differs", "CP-210", 4));
  give_opinion(*out.back(), "ground_strap", Opinion::not_right, "no", "turned");
  out.back()->inspection.open->opinion->components[0].reason_value = -7.3;
  out.push_back(looking("look_no_camera", "CP-210", 4));
  out.back()->sees = false;
  out.back()->facts.camera.state = "gone";
  out.back()->facts.camera.detail = "/dev/v4l/by-id/usb-camera-0412-video-index0: no such device";
  out.back()->facts.withheld = WithheldFacts{"camera_not_ready", {}};
  out.push_back(looking("look_other_tag", "CP-210", 4));
  out.back()->facts.camera.state = "running";
  out.back()->facts.withheld = WithheldFacts{"other_tag", {"CP210-26330-00418"}};
  out.push_back(looking("look_which_tag", "CP-210", 4));
  out.back()->facts.other_tag = OtherTag{"26330-00417", "CP210-26330-00418"};
  out.push_back(looking("look_park", "CP-210", 4));
  out.back()->touches = {"park"};
  out.push_back(looking("look_other_open", "CP-210", 4));
  out.back()->facts.notices = {
      out.back()->say("notice.other_unit_open", {"26330-00417", "26330-00418"})};
  out.push_back(looking("defect", "CP-210", 0));
  out.back()->inspection.open->steps[0].answer = Answer::nonconforming;
  out.push_back(looking("place", "CP-210", 0));
  out.back()->inspection.open->steps[0].answer = Answer::nonconforming;
  out.back()->touches = {"defect.Turned"};
  out.push_back(looking("finding", "CP-210", 10));
  out.back()->inspection.open->steps[3].answer = Answer::nonconforming;
  out.back()->inspection.open->findings = {finding("lid", "Damaged", {.3, .35})};
  out.back()->facts.revised_step = 3;
  out.push_back(looking("finding_take_back", "CP-210", 10));
  out.back()->inspection = (*(out.end() - 2))->inspection;
  out.back()->facts.revised_step = 3;
  out.back()->touches = {"withdraw.f-lid"};
  out.push_back(looking("look_early_decision", "CP-210", 5));
  out.back()->facts.possible = {Disposition::rework, Disposition::hold, Disposition::scrap};
}

void add_verdicts(Samples& out) {
  using Why = flows::Obstacle::Why;
  out.push_back(looking("verdict_good", "CP-210", 10));
  out.back()->facts.possible = {Disposition::accept};
  out.push_back(looking("verdict_camera_differs", "CP-210", 10));
  out.back()->facts.possible = {Disposition::accept};
  give_opinion(*out.back(), "ground_strap", Opinion::not_right, "no", "colour_differs");
  out.push_back(looking("verdict_bad", "CP-210", 10));
  Sample& bad = *out.back();
  bad.inspection.open->steps[3].answer = Answer::nonconforming;
  bad.inspection.open->findings = {finding("lid", "Damaged", {.3, .35}),
                                   finding("seal", "Turned", {.1, .35})};
  bad.facts.possible = {Disposition::rework, Disposition::hold, Disposition::scrap};
  bad.facts.obstacles = {
      {Why::finding_open, "lid"}, {Why::finding_open, "seal"}, {Why::result_missing, "fill_mass"}};
  out.push_back(looking("verdict_wait", "CP-210", 10));
  out.back()->facts.obstacles = {{Why::result_missing, "fill_mass"}};
  for (const auto& [name, touches] :
       {std::pair("verdict_paper", std::vector<std::string>{}),
        std::pair("verdict_paper_says", std::vector<std::string>{"paper"}),
        std::pair("verdict_paper_who", std::vector<std::string>{"paper", "paper.passed"})}) {
    out.push_back(looking(name, "CP-210", 10));
    out.back()->inspection.open->master.required_results = {
        {UpstreamTest::leak, AwayRule::paper_two_people}};
    out.back()->facts.obstacles = {{Why::result_missing, "fill_mass"},
                                   {Why::result_missing, "leak"}};
    out.back()->facts.possible = {Disposition::hold};
    out.back()->touches = touches;
  }
  out.push_back(looking("verdict_paper_found", "CP-210", 10));
  out.back()->inspection.open->master.required_results = {
      {UpstreamTest::leak, AwayRule::paper_two_people}};
  out.back()->facts.obstacles = {{Why::finding_open, "seal"}, {Why::result_missing, "leak"}};
  out.back()->facts.possible = {Disposition::rework, Disposition::hold, Disposition::scrap};
  out.push_back(looking("verdict_wrong_tag", "CP-210", 10));
  out.back()->facts.possible = {Disposition::hold};
  out.back()->facts.obstacles = {{Why::tag_of_other_type, "CP210N"}};
  for (const Disposition d :
       {Disposition::accept, Disposition::rework, Disposition::hold, Disposition::scrap}) {
    out.push_back(signed_in("closed_" + std::string(to_word(d))));
    out.back()->inspection.last = flows::ClosedLook{};
    out.back()->inspection.last->look = "k-1";
    out.back()->inspection.last->serial = "26330-00417";
    out.back()->inspection.last->disposition = d;
    out.back()->facts.closed_shown = true;
  }
  out.push_back(signed_in("closed_correct"));
  out.back()->inspection = (*(out.end() - 2))->inspection;
  out.back()->facts.closed_shown = true;
  out.back()->touches = {"correct"};
}

constexpr const char* model_id = "9f1c0a4be2d87735";

std::unique_ptr<Sample> with_proofs(std::string name, flows::ProofState first) {
  auto s = signed_in(std::move(name));
  s->facts.camera.state = "running";
  s->facts.camera.model = model_id;
  s->facts.proof.needed = true;
  const bool held = first == flows::ProofState::held;
  s->facts.proof.proofs = {
      {"CP-210", first,
       held ? std::vector<std::string>{} : std::vector<std::string>{"26346-00867", "26341-00738"}},
      {"CP-210N", flows::ProofState::held, {}}};
  return s;
}

void contain(Sample& s, int relied, int sampled) {
  for (int i = 0; i < relied + sampled; ++i)
    s.facts.proof.contained.push_back({"k", "26330-004" + std::to_string(10 + i),
                                       i % 3 == 2 ? "CP-210N" : "CP-210", now_us, i < relied});
  for (std::size_t i = 1; i < s.facts.proof.contained.size(); i += 4)
    s.facts.proof.contained[i].again = records::LookedAgain{
        "k", "LL-2", i % 8 == 1 ? Disposition::accept : Disposition::rework, now_us};
}

void judge(Sample& s, const char* part, std::vector<std::string> unmet, const char* proof) {
  PartJudged judged;
  judged.part = part;
  judged.variant = "CP-210";
  judged.model = model_id;
  judged.unmet = unmet;
  judged.proof = proof;
  const ChallengePart* known = s.inspection.master.challenge_part(part);
  for (const Part& component : parts()) {
    const bool faulty = std::ranges::count(known->faults, component.id) > 0;
    const bool met = std::ranges::count(unmet, component.id) == 0;
    judged.components.push_back({component.id,
                                 faulty == met ? Opinion::not_right : Opinion::present,
                                 faulty == met ? "no" : "yes", .5, "as_taught", 0, component.box});
  }
  s.facts.proof.judged = judged;
}

void add_proof(Samples& out) {
  using flows::ProofState;
  out.push_back(with_proofs("waiting_proof_due", ProofState::missing));
  out.push_back(with_proofs("waiting_proof_failed", ProofState::failed));
  contain(*out.back(), 14, 5);
  out.push_back(with_proofs("waiting_contain", ProofState::held));
  contain(*out.back(), 14, 5);
  out.push_back(with_proofs("waiting_no_model", ProofState::missing));
  out.back()->facts.camera.model.clear();
  out.push_back(with_proofs("proofs_no_model", ProofState::missing));
  out.back()->facts.camera.model.clear();
  out.back()->facts.camera.model_trouble =
      "model 9f1c0a4be2d87735 was taught that lid of CP-210N is present, its checklist expects "
      "absent";
  out.back()->facts.proof.open = true;
  out.push_back(signed_in("waiting_no_source"));
  out.back()->sees = false;
  out.back()->facts.camera.state = "no_source";
  out.back()->facts.camera.detail =
      "/srv/pictures: expected a folder of pictures, a picture, a video or a camera";
  out.push_back(with_proofs("proofs", ProofState::failed));
  out.back()->facts.proof.open = true;
  contain(*out.back(), 14, 5);
  for (const char* part : {"26346-00867", "26341-00738"}) {
    out.push_back(with_proofs(std::string("part_") + part, ProofState::missing));
    out.back()->inspection.challenge.open = flows::Showing{"k-9", part, "CP-210"};
  }
  out.back()->facts.withheld = WithheldFacts{"tag_not_read", {}};
  out.push_back(with_proofs("part_leave", ProofState::missing));
  out.back()->inspection.challenge.open = flows::Showing{"k-9", "26346-00867", "CP-210"};
  out.back()->touches = {"part.leave"};
  out.push_back(with_proofs("judged_good", ProofState::held));
  judge(*out.back(), "26346-00867", {}, "held");
  out.push_back(with_proofs("judged_begun", ProofState::begun));
  judge(*out.back(), "26341-00738", {}, "begun");
  out.push_back(with_proofs("judged_failed", ProofState::failed));
  judge(*out.back(), "26341-00738", {"clip", "outlet_plug"}, "failed");
  contain(*out.back(), 14, 5);
  out.push_back(with_proofs("judged_all_failed", ProofState::failed));
  judge(*out.back(), "26346-00867",
        {"tag", "seal", "clip", "lid", "ground_strap", "grommet_1", "grommet_2"}, "failed");
  out.push_back(with_proofs("wear", ProofState::held));
  WearFacts wear{"26346-00867", {}};
  for (int i = 0; i < 40; ++i)
    wear.points.push_back({"2026-11-" + std::to_string(1 + i / 2),
                           .98 - .0002 * i * i - .02 * (i % 3),
                           i < 12 ? "5d20aa9137c1e604" : model_id, i == 39 ? "Lid" : ""});
  out.back()->facts.proof.wear = wear;
  out.push_back(with_proofs("wear_none", ProofState::missing));
  out.back()->facts.proof.wear = WearFacts{"26341-00738", {}};
  out.push_back(with_proofs("containment", ProofState::failed));
  contain(*out.back(), 14, 5);
  out.back()->facts.proof.containment_open = true;
  out.push_back(with_proofs("containment_none", ProofState::failed));
  out.back()->facts.proof.containment_open = true;
}

void add_second_looks(Samples& out) {
  out.push_back(signed_in("waiting_second_looks"));
  out.back()->facts.second_looks_waiting = 12;
  out.push_back(looking("second_look", "CP-210", 4));
  out.back()->facts.camera.state = "running";
  out.back()->inspection.open->opened.second_of = "k-0";
  out.push_back(looking("second_look_verdict", "CP-210", 10));
  out.back()->inspection.open->opened.second_of = "k-0";
  out.back()->facts.possible = {Disposition::accept};
  for (const bool second : {false, true}) {
    out.push_back(signed_in(second ? "closed_second_look" : "closed_held_back"));
    flows::ClosedLook closed;
    closed.look = "k-1";
    closed.serial = "26330-00417";
    closed.disposition = Disposition::accept;
    closed.is_second = second;
    closed.held_back = !second;
    out.back()->inspection.last = closed;
    out.back()->facts.closed_shown = true;
  }
}

std::unique_ptr<Sample> teaching(std::string name, flows::Teaching::Step step) {
  auto s = signed_in(std::move(name));
  s->inspection.person = "p-5";
  s->inspection.role = Role::quality_engineer;
  s->facts.person_name = "Eleni Παππά";
  s->facts.camera.state = "running";
  s->facts.camera.model = model_id;
  TeachingFacts facts;
  facts.next_picture = true;
  const domain::TaughtGap apart{"lid", 0.9, 0.1, false, false};
  const auto approved = [&](std::string model, std::string before,
                            std::vector<std::string> variants, int pictures, std::string why,
                            int days_ago) {
    return domain::ApprovedModel{{std::move(model),
                                  "",
                                  std::move(before),
                                  "",
                                  "Electric coolant pump",
                                  std::move(variants),
                                  pictures,
                                  {apart},
                                  std::move(why)},
                                 "p-5",
                                 now_us - days_ago * std::int64_t{24 * 60} * minute_us};
  };
  facts.models = {approved(model_id, "5d20aa9137c1e604", {"CP-210", "CP-210N"}, 31, "", 3),
                  approved("5d20aa9137c1e604", "0c77d1e85fa3b960", {}, 0, "stops_good_units", 9),
                  approved("c2d3aa01b7745510", "5d20aa9137c1e604", {"CP-210"}, 12, "", 12)};
  flows::Teaching& at = facts.at;
  at.open = true;
  at.step = step;
  at.variant = "CP-210";
  at.reference = step != flows::Teaching::Step::reference;
  if (at.reference)
    for (const Part& part : parts()) at.marks.push_back({part.id, part.box});
  at.shots.assign(4, {"shot-001.jpg", "CP-210", {}});
  at.shots.push_back({"shot-005.jpg", "CP-210", {{"seal", Seen::absent}}});
  s->facts.teaching = facts;
  return s;
}

void learn(Sample& s, double worst_good, double best_bad, bool made_up) {
  flows::ContactSheet sheet;
  sheet.model = "4be2d877359f1c0a";
  sheet.variants = {"CP-210"};
  sheet.pictures = 31;
  sheet.lights = 3;
  for (const char* component : {"ground_strap", "seal"}) {
    flows::SheetComponent one;
    one.gap = {component, worst_good, best_bad, made_up, false};
    for (int i = 0; i < 6; ++i) {
      const std::string good = "g" + std::to_string(i), bad = "b" + std::to_string(i);
      one.good.push_back({good, worst_good + 0.01 * i});
      one.bad.push_back({bad, best_bad - 0.01 * i});
      const auto x = static_cast<float>(i) / 12;
      s.facts.teaching->thumbs.push_back({component, good, {.384F, .55F - x * .1F, .2F, .15F}});
      s.facts.teaching->thumbs.push_back({component, bad, {.05F + x, .3F, .2F, .15F}});
    }
    one.good_stopped = 0;
    one.bad_passed = made_up ? 0 : 1;
    one.miss_rate_limit = made_up ? 1 : 0.26;
    sheet.components.push_back(one);
  }
  s.facts.teaching->at.sheet = sheet;
}

void add_teaching(Samples& out) {
  using Step = flows::Teaching::Step;
  out.push_back(signed_in("waiting_administrator"));
  out.back()->inspection.role = Role::administrator;
  out.push_back(teaching("waiting_quality_engineer", Step::home));
  out.back()->facts.teaching->at.open = false;
  out.push_back(teaching("teach_home", Step::home));
  learn(*out.back(), .93, .12, false);
  out.push_back(teaching("teach_home_first", Step::home));
  out.back()->facts.teaching->at.reference = false;
  out.back()->facts.teaching->models.clear();
  out.push_back(teaching("teach_home_unusable", Step::home));
  out.back()->facts.camera.model.clear();
  out.back()->facts.camera.model_trouble =
      "the file of the approved model 9f1c0a4be2d87735 is missing or altered: "
      "/srv/lastlook/LL-1/pictures/7c/7c1f0a4be2d87735aa";
  out.push_back(teaching("teach_home_unread", Step::home));
  out.back()->facts.teaching->at.unread = true;
  out.back()->facts.notices = {out.back()->say(
      "teach.trouble",
      {"/srv/lastlook/LL-1/teaching/labels.csv: line 14, column 4 (state): expected present, "
       "absent, wrong or misplaced, found 'OK'"})};
  out.push_back(teaching("teach_go_back", Step::home));
  out.back()->touches = {"model.5d20aa9137c1e604"};
  out.push_back(teaching("teach_afresh", Step::home));
  out.back()->touches = {"teach.afresh"};
  out.push_back(teaching("teach_reference", Step::reference));
  out.push_back(teaching("teach_mark", Step::mark));
  out.push_back(teaching("teach_mark_first", Step::mark));
  out.back()->facts.teaching->at.marks.clear();
  out.push_back(teaching("teach_mark_chosen", Step::mark));
  out.back()->facts.teaching->at.marks[4].box = {.4, .4, .2, .2};
  out.back()->touches = {"picture"};  // its middle
  out.push_back(teaching("teach_mark_name", Step::mark));
  out.back()->facts.teaching->at.marks.clear();
  out.back()->touches = {"drag.picture"};
  out.push_back(teaching("teach_mark_type", Step::mark));
  out.back()->facts.teaching->at.marks.clear();
  out.back()->touches = {"drag.picture", "mark.type"};
  out.push_back(teaching("teach_shoot", Step::shoot));
  out.push_back(teaching("teach_shoot_bad", Step::shoot));
  out.back()->facts.teaching->at.faults = {{"ground_strap", Seen::misplaced},
                                           {"seal", Seen::wrong}};
  out.push_back(teaching("teach_shoot_saving", Step::shoot));
  out.back()->facts.teaching->at.busy = true;
  out.push_back(teaching("teach_fault", Step::shoot));
  out.back()->touches = {"teach.fault"};
  out.push_back(teaching("teach_fault_seen", Step::shoot));
  out.back()->touches = {"teach.fault", "fault.seal"};
  out.push_back(teaching("teach_fault_absent", Step::shoot));
  out.back()->facts.teaching->at.variant = "CP-210N";
  out.back()->touches = {"teach.fault", "fault.lid"};
  out.push_back(teaching("teach_shoot_trouble", Step::shoot));
  out.back()->facts.notices = {out.back()->say(
      "teach.trouble", {"/srv/lastlook/LL-1/teaching/labels.csv: no space left on device"})};
  out.push_back(teaching("teach_learn", Step::learn));
  out.back()->facts.teaching->at.done = 11;
  out.back()->facts.teaching->at.total = 41;
  out.push_back(teaching("teach_sheet", Step::sheet));
  learn(*out.back(), .93, .12, false);
  out.push_back(teaching("teach_sheet_made_up", Step::sheet));
  learn(*out.back(), .93, .12, true);
  out.push_back(teaching("teach_sheet_overlap", Step::sheet));
  learn(*out.back(), .41, .63, false);
  out.push_back(teaching("teach_sheet_take_back", Step::sheet));
  learn(*out.back(), .93, .12, false);
  out.back()->touches = {"thumb.right.g0"};
  out.push_back(teaching("teach_approve", Step::sheet));
  learn(*out.back(), .93, .12, false);
  out.back()->touches = {"sheet.approve"};
}

domain::StudyPlanned studied(std::vector<std::string> ratings) {
  domain::StudyPlanned plan;
  plan.study = "s-1";
  plan.title = "Seals and lids, November";
  for (int i = 1; i <= 30; ++i) plan.items.push_back({fmt::format("{:02}", i), "conforming", ""});
  plan.inspectors = {"p-1", "p-2", "p-3"};
  plan.ratings = std::move(ratings);
  return plan;
}

StudyResult study_result() {
  domain::StudyRecord record;
  record.plan = studied({"conforming", "nonconforming"});
  for (std::size_t i = 20; i < 30; ++i) record.plan.items[i].reference = "nonconforming";
  const char* names[] = {"Alma Example", "Bruno Sample", "Carla Muster-Beispielhaft"};
  for (int person = 0; person < 3; ++person)
    for (int trial = 1; trial <= 2; ++trial)
      for (int i = 0; i < 30; ++i) {
        const bool slip = (i * 7 + person * 11 + trial * 5) % 29 < 1 + person;
        record.ratings.push_back({names[person], trial, record.plan.items[i].label,
                                  (i < 20) != slip ? "conforming" : "nonconforming", 0});
      }
  StudyResult result{"s-1", record.plan.title, record.ratings.size(), 180, false, {}, {}};
  result.rated_as = domain::rated_study(record).value();
  result.agreement = analytics::agreement_of(*result.rated_as);
  return result;
}

void add_study(Samples& out) {
  const auto rating = [&](const char* name, std::vector<std::string> words) -> Sample& {
    out.push_back(signed_in(name));
    Facts& facts = out.back()->facts;
    facts.study.tasks.push_back({studied(std::move(words)), {1, 6, 7, 0}});
    facts.study.rating = "s-1";
    return *out.back();
  };
  rating("waiting_study", {"conforming", "nonconforming"}).facts.study.rating.reset();
  rating("study_take", {"conforming", "nonconforming"});
  rating("study_answer", {"conforming", "nonconforming"}).touches = {"study.taken.08"};
  Sample& picture = rating("study_picture", {"conforming", "nonconforming"});
  picture.facts.study.tasks[0].plan.items[7].picture = "ab12";
  picture.facts.study.picture = 1;
  picture.touches = {"study.taken.08"};
  Sample& gone = rating("study_no_picture", {"conforming", "nonconforming"});
  gone.facts.study.tasks[0].plan.items[7].picture = "ab12";
  gone.touches = {"study.taken.08"};
  rating("study_kinds", {"conforming", "seal not seated", "seal missing", "lid lifted",
                         "lid missing", "tag of another type", "scratched", "something else"})
      .touches = {"study.taken.08"};
  out.push_back(signed_in("study_results"));
  out.back()->inspection.role = domain::Role::quality_engineer;
  out.back()->facts.study.results = {study_result(),
                                     {"s-2", "Grommets", 0, 120, false, std::nullopt, {}}};
  out.back()->facts.study.shown = "s-1";
  out.push_back(signed_in("study_results_none"));
  out.back()->inspection.role = domain::Role::quality_engineer;
  out.back()->facts.study.results = {{"s-2", "Grommets", 0, 120, true, std::nullopt, {}}};
  out.back()->facts.study.shown = "s-2";
}

void add_return(Samples& out) {
  out.push_back(signed_in("returned"));
  ReturnQuestion question;
  question.code = "CP210-26330-00417";
  question.notice = {"return_or_twin", {"26330-00417", "rework", "1"}};
  question.unit.serial = "26330-00417";
  PastLook first;
  first.number = 1;
  first.opened_us = now_us - 80 * minute_us;
  first.closed_us = now_us - 79 * minute_us;
  first.disposition = Disposition::rework;
  first.findings = {finding("lid", "Damaged", {.3, .35}), finding("seal", "Turned", {.1, .35})};
  question.unit.looks = {first};
  out.back()->facts.question = question;
  out.push_back(signed_in("returned_held_back"));
  question.notice = {"second_look_by_other", {"26330-00417"}};
  out.back()->facts.question = question;
}

std::unique_ptr<Sample> reviewing(std::string name, Question question) {
  auto s = signed_in(std::move(name));
  s->inspection.person = "p-4";
  s->inspection.role = Role::supervisor;
  s->facts.person_name = "Dariusz Wójcik";
  s->facts.review_open = true;
  s->facts.review.question = question;
  s->facts.review.which = {"2026-11-25", "early"};
  s->facts.review.shift = "Early shift";
  return s;
}

void add_review_most(Samples& out) {
  out.push_back(reviewing("review_empty", Question::most));
  out.push_back(reviewing("review", Question::most));
  analytics::ParetoCounter counter;
  const std::vector<std::pair<const char*, int>> counts{{"Connector seal: missing", 9},
                                                        {"Tag: missing", 6},
                                                        {"Outlet cap: half seated", 3},
                                                        {"Ground strap: one end off", 2},
                                                        {"Lid: lifted or turned", 2},
                                                        {"Grommet 2: popped out", 1},
                                                        {"Tag: turned", 1},
                                                        {"Plug clip: half seated", 1},
                                                        {"Lid: dirty", 1},
                                                        {"Something else", 1}};
  for (const auto& [kind, count] : counts) counter.add(kind, count);
  out.back()->facts.review.defects = counter.table();
}

std::unique_ptr<Sample> behind(std::string name, int units) {
  auto s = reviewing(std::move(name), Question::most);
  BehindFacts facts{"Connector seal: missing", units + 1, {}};
  for (int i = 0; i < units; ++i)
    facts.units.push_back({"k-" + std::to_string(i), "26330-" + std::to_string(10400 - i),
                           1 + i % 2, now_us - i * 90 * minute_us, static_cast<Disposition>(i % 4),
                           i % 5 == 3});
  s->facts.review.behind = facts;
  return s;
}

std::unique_ptr<Sample> story(std::string name, int looks, const char* note) {
  auto s = behind(std::move(name), 8);
  StoryFacts facts;
  facts.look = "k-1";
  facts.story.serial = "26330-00391";
  facts.story.now.state = "in_rework";
  for (int i = 0; i < looks; ++i) {
    records::LookStory look;
    look.look.look = "k-" + std::to_string(i + 1);
    look.look.number = i + 1;
    look.look.closed_us = now_us - (looks - i) * 400 * minute_us;
    look.look.disposition = i + 1 < looks || looks == 1 ? Disposition::rework : Disposition::accept;
    records::FindingRow seal;
    seal.component = "seal";
    seal.defect = "Missing";
    seal.note = note;
    look.findings = {seal};
    records::OpinionRow opinion;
    opinion.component = "seal";
    opinion.opinion = Opinion::absent;
    look.opinions = {opinion};
    facts.story.looks.push_back(look);
  }
  facts.pictures = {{"a", {{"Connector seal: missing", Place{.11, .34}, {}}}},
                    {"b", {{"Lid: dirty", {}, {.196, .243, .284, .24}}}}};
  s->facts.review.story = facts;
  return s;
}

void add_review_behind(Samples& out) {
  out.push_back(reviewing("review_rest", Question::most));
  out.back()->facts.review.defects = (*(out.end() - 2))->facts.review.defects;
  out.back()->touches = {"kind.rest"};
  out.push_back(behind("review_behind", 5));
  out.push_back(behind("review_behind_many", 300));
  out.push_back(behind("review_behind_long", 4));
  out.back()->facts.review.behind->kind =
      "Ground strap between the housing and the motor's end shield: one end off, or its screw not "
      "tightened";
  out.push_back(story("review_story", 1, ""));
  out.push_back(story("review_story_box", 3, "scratched beside the ring"));
  out.back()->facts.review.story->shown = 1;
  out.push_back(
      story("review_story_long", 14,
            "the ring lies beside the groove, pressed flat over a third of its length, and "
            "the groove has a burr; the same as on the two units before it"));
  out.push_back(story("review_story_no_picture", 2, ""));
  out.back()->sees = false;
  out.back()->facts.review.story->pictures.clear();
  out.back()->facts.review.story->trouble = "none";
  out.push_back(story("review_story_parts", 2, ""));
  out.back()->facts.review.story->story.builds = {
      {"26330-00417", "LL-1", "CP-210", now_us, "2026-11-24"}};
  for (const auto& [part, lot] : {std::pair("seal ring 40", "L-2291"),
                                  {"stator", "S-118734"},
                                  {"rotor", "R-99120"},
                                  {"circuit board", "B-2026-4417"}})
    out.back()->facts.review.story->story.parts.push_back(
        {"26330-00417", "LL-1", part, lot, now_us, 0});
  out.push_back(story("review_story_claim", 2, ""));
  records::ClaimRow claim;
  claim.claim = "C-1041";
  claim.reported = "2026-11-20";
  claim.complaint = "coolant drips from the connector after two weeks in the field";
  claim.verdict = ClaimVerdict::escaped;
  claim.why = "no seal in the connector, and none on the pictures of the look";
  out.back()->facts.review.story->story.claims = {claim, claim};
  out.back()->facts.review.story->story.claims[1].verdict.reset();
  for (const auto& [name, touches] :
       {std::pair("review_story_on_hold", std::vector<std::string>{}),
        std::pair("review_release_why", std::vector<std::string>{"story.release"}),
        std::pair("review_release_who",
                  std::vector<std::string>{"story.release", "release_why.settled"}),
        std::pair(
            "review_release_pin",
            std::vector<std::string>{"story.release", "release_why.settled", "person.p-5"})}) {
    out.push_back(story(name, 1, ""));
    StoryFacts& held = *out.back()->facts.review.story;
    held.held_by = "k-1";
    held.story.now.state = "on_hold";
    held.story.looks[0].look.disposition = Disposition::hold;
    out.back()->inspection.master.hold_release = HoldRule::two_people;
    out.back()->touches = touches;
  }
  for (const auto& [name, touches] :
       {std::pair("review_story_ticket", std::vector<std::string>{}),
        std::pair("review_link_how", std::vector<std::string>{"story.link"}),
        std::pair("review_link_type",
                  std::vector<std::string>{"story.link", "link_by.tag_read"})}) {
    out.push_back(story(name, 1, ""));
    StoryFacts& ticket = *out.back()->facts.review.story;
    ticket.to_link = "k-1";
    ticket.story.serial.clear();
    ticket.story.now.state = "on_hold";
    ticket.story.looks[0].look.ticket = "H-7KQ3";
    ticket.story.looks[0].look.disposition = Disposition::hold;
    out.back()->touches = touches;
  }
  out.push_back(story("review_story_released", 1, ""));
  StoryFacts& released = *out.back()->facts.review.story;
  released.story.now.state = "on_hold";
  released.story.now.why = "released";
  released.story.looks[0].look.disposition = Disposition::hold;
  records::HoldReleaseRow release;
  release.released_us = now_us - 5 * minute_us;
  release.second_person = "p-4";
  release.why = "settled";
  released.story.looks[0].release = release;
  out.push_back(story("review_story_held_back", 1, ""));
  out.back()->sees = false;
  out.back()->facts.review.story->told = false;
  out.back()->facts.review.story->pictures.clear();
  out.back()->facts.review.story->trouble = "not_told";
}

// A quality engineer lets a finding pass: question after question.
void add_granting(Samples& out) {
  struct Situation {
    const char* name;
    std::size_t findings;
    std::vector<std::string> touches;
  };
  const std::vector<std::string> to_number{"story.grant", "grant.quantity.10", "grant_until.month"};
  const auto typed = [&](std::vector<std::string> touches, const std::string& keys) {
    for (const char key : keys) touches.push_back(std::string("keypad.") + key);
    touches.push_back("keypad.done");
    return touches;
  };
  const auto numbered = typed(to_number, "D-17");
  for (const Situation& one : {Situation{"review_story_grant", 1, {}},
                               {"grant_which", 3, {"story.grant"}},
                               {"grant_quantity", 1, {"story.grant"}},
                               {"grant_quantity_type", 1, {"story.grant", "grant.quantity.other"}},
                               {"grant_last_day", 1, {"story.grant", "grant.quantity.10"}},
                               {"grant_number", 1, to_number},
                               {"grant_authority", 1, numbered},
                               {"grant_whole", 1, typed(numbered, "CUSTOMER")}}) {
    out.push_back(story(one.name, 1, ""));
    out.back()->inspection.person = "p-5";
    out.back()->inspection.role = Role::quality_engineer;
    StoryFacts& facts = *out.back()->facts.review.story;
    facts.held_by = "k-1";
    facts.story.now.state = "on_hold";
    facts.story.looks[0].look.disposition = Disposition::hold;
    facts.variant = "CP-210";
    const std::vector<const char*> components{"lid", "ground_strap", "seal"};
    for (std::size_t i = 0; i < one.findings; ++i) {
      FindingAdded finding;
      finding.finding = "f-" + std::to_string(i);
      finding.component = components[i];
      finding.defect = "Out of its field";
      facts.grantable.push_back(finding);
    }
    out.back()->touches = one.touches;
  }
}

void add_concessions(Samples& out) {
  out.push_back(reviewing("concessions_none", Question::next));
  out.back()->facts.review.concessions_open = true;
  out.push_back(reviewing("concessions", Question::next));
  out.back()->facts.review.concessions_open = true;
  constexpr std::int64_t day_us = 1440 * minute_us;
  for (int i = 0; i < 14; ++i) {
    Concession one;
    one.grant = {fmt::format("D-{}", 17 + i),
                 "customer quality",
                 "CP-210",
                 "ground_strap",
                 "Out of its field",
                 50,
                 now_us + (i < 9 ? 20 : -3) * day_us};
    one.used = i % 4 == 3 ? 50 : i;
    out.back()->facts.review.concessions.push_back(one);
  }
}

void add_review_waiting(Samples& out) {
  out.push_back(reviewing("review_waiting_none", Question::waiting));
  out.push_back(reviewing("review_waiting", Question::waiting));
  const std::vector<records::WaitingUnit> units{
      {"k-3", "LL-1", "26330-00377", "", "CP-210N", "other_variant_tag", false,
       now_us - 2900 * minute_us},
      {"k-2", "LL-1", "", "H-4K7Q", "CP-210", "no_tag", false, now_us - 190 * minute_us},
      {"k-4", "LL-1", "26330-00391", "", "CP-210", "second_look", false, now_us - 40 * minute_us},
      {"k-1", "LL-1", "26330-00398", "", "CP-210", "waiting_for_result", true,
       now_us - 12 * minute_us},
      {"k-5", "LL-1", "26330-00399", "", "CP-210", "needs_advice", true, now_us}};
  out.back()->facts.review.waiting = units;
  out.push_back(reviewing("review_waiting_many", Question::waiting));
  for (int i = 0; i < 90; ++i) {
    records::WaitingUnit unit = units[static_cast<std::size_t>(i) % units.size()];
    if (!unit.serial.empty()) unit.serial = "26330-PUMP-" + std::to_string(100000 + i);
    unit.why = unit.parked || unit.why == "second_look" ? unit.why : "touched_wrongly";
    unit.since_us = now_us - (9000 - 100 * i) * minute_us;
    out.back()->facts.review.waiting.push_back(unit);
  }
}

// So many shifts of 120 units, 9 of them not right, and this one.
void usual(Sample& s, int shifts, int not_right, int kinds) {
  UsualFacts& facts = s.facts.review.usual;
  std::vector<analytics::ChartSample> samples;
  for (int i = 0; i < shifts; ++i)
    samples.push_back({fmt::format("11-{:02} {}", 1 + i / 2, i % 2 == 0 ? "early" : "late"), 120,
                       9 + i % 5 - 2, "", ""});
  samples.push_back({"11-25 early", 131, not_right, "", ""});
  analytics::ChartOptions options;
  options.limits = analytics::LimitKind::exact;
  options.frozen_centre = .075;
  facts.before.by_shift = analytics::attribute_chart(samples, options).value();
  facts.before.shifts = shifts;
  facts.standing = reports::standing_of(facts.before);
  facts.not_right = not_right;
  facts.rates = {{"now", analytics::first_pass_yield(131 - not_right, 131).value()},
                 {"last", analytics::first_pass_yield(111, 120).value()},
                 {"weeks", analytics::first_pass_yield(4440, 4800).value()}};
  std::vector<analytics::Cell> cells{
      {"Not right at all (four weeks)", {360, 4800}, {not_right, 131}},
      {"Not right at all (last shift)", {9, 120}, {not_right, 131}}};
  for (int i = 0; i < kinds; ++i)
    cells.push_back({i % 3 == 0 ? fmt::format("Grommet {}: popped out, not seated", i)
                                : fmt::format("Lid: dirty {}", i),
                     {20 + i, 4800},
                     {i % 4 == 0 ? not_right / 2 : 1, 131}});
  facts.changes = analytics::by_weight(analytics::compare_shares(cells).value());
  for (const analytics::Difference& one : facts.changes) facts.changed += one.changed ? 1 : 0;
}

// Of the last two questions.
reports::ShiftFacts whole_shift() {
  reports::ShiftFacts whole;
  whole.shift_name = "Early shift";
  whole.which = {"2026-11-25", "early"};
  whole.counts.first_looks = 131;
  whole.counts.looks = 144;
  whole.looks_with_opinion = 139;
  whole.camera_sums = {1288, 22, 1, 3, 9, 2};
  std::vector<analytics::SecondLook> looks(48, {"", false, false, .05});
  looks[7].second_rejects = true;
  whole.let_pass = {analytics::escapes_of(looks), 53, {2, 1, 1}};
  whole.proofs = {{"2026-11-25", "early", "LL-1", "CP-210", "m-1", "held", 3, {}},
                  {"2026-11-25", "early", "LL-1", "CP-210N", "m-1", "failed", 2, {"s-1"}}};
  whole.contained = std::vector<records::ContainedUnit>(17);
  analytics::ParetoCounter counter;
  counter.add("Connector seal: missing", 9);
  whole.findings = counter.table();
  whole.waiting = std::vector<records::WaitingUnit>(6);
  return whole;
}

void add_review_look(Samples& out) {
  out.push_back(reviewing("review_look_nothing", Question::look));
  out.push_back(reviewing("review_look", Question::look));
  out.back()->facts.review.whole = whole_shift();
  out.back()->facts.proof.contained = std::vector<records::ContainedUnit>(17);
  out.push_back(reviewing("review_look_drawn", Question::look));
  out.back()->facts.review.whole.let_pass.drawn = 4;
}

void add_review_next(Samples& out) {
  out.push_back(reviewing("review_next_nothing", Question::next));
  out.push_back(reviewing("review_next", Question::next));
  out.back()->facts.review.whole = whole_shift();
  out.back()->facts.review.page.written = "/srv/lastlook/reports/shift-2026-11-25-early.html";
  out.back()->facts.sending = sync::CourierStatus{214, now_us - 300 * minute_us, 60,
                                                  "the store cannot be reached: no route"};
  out.back()->facts.room = records::Room{90'000'000, 64'000'000'000, 0};
  out.push_back(reviewing("review_next_writing", Question::next));
  out.back()->facts.review.page.being_written = true;
}

void add_handover(Samples& out) {
  out.push_back(reviewing("review_next_typing", Question::next));
  out.back()->touches = {"review.note", "keypad.Q", "keypad.space", "keypad.7"};
  out.push_back(signed_in("handover"));
  out.back()->facts.handover = {{"Lamp 2 flickers.", now_us - 40 * minute_us}};
  out.push_back(signed_in("handover_many"));
  for (int i = 0; i < 9; ++i)
    out.back()->facts.handover.push_back(
        {"LIDS OF LOT 7 STAND HIGH ON THE LEFT, TUG AT EACH ONE, PUT THEM ASIDE FOR THE QUALITY "
         "ENGINEER AND WRITE DOWN THE LOT. THE SECOND CAMERA LAMP FLICKERS, IT IS RE",
         now_us - (40 + 170 * i) * minute_us});
}

void add_review_shifts(Samples& out) {
  out.push_back(reviewing("review_shifts", Question::most));
  ReviewFacts& review = out.back()->facts.review;
  review.choosing = true;
  for (int i = 0; i < 40; ++i) {
    records::LookCounts counts;
    counts.first_looks = 120 + i;
    counts.first_pass = 111 + i % 7;
    const bool early = i % 2 == 0;
    review.shifts.push_back({{fmt::format("2026-11-{:02}", 25 - i / 2), early ? "early" : "late"},
                             early ? "Early shift" : "Late shift",
                             counts,
                             i == 0});
  }
}

void add_review_usual(Samples& out) {
  out.push_back(reviewing("review_usual_no_units", Question::usual));
  out.back()->facts.review.usual.rates = {{"now", {}}};
  out.push_back(reviewing("review_usual_too_few", Question::usual));
  usual(*out.back(), 5, 8, 3);
  out.push_back(reviewing("review_usual", Question::usual));
  usual(*out.back(), 40, 10, 6);
  out.push_back(reviewing("review_usual_worse", Question::usual));
  usual(*out.back(), 40, 28, 6);
  out.back()->facts.review.usual.before.wanders = 2.4;
  out.push_back(reviewing("review_usual_unchanged", Question::usual));
  usual(*out.back(), 40, 10, 6);
  out.back()->touches = {"usual.changes"};
  out.push_back(reviewing("review_usual_changes", Question::usual));
  usual(*out.back(), 40, 28, 60);
  out.back()->touches = {"usual.changes"};
}

void add_review(Samples& out) {
  add_review_most(out);
  add_review_behind(out);
  add_review_usual(out);
  add_granting(out);
  add_concessions(out);
  add_review_waiting(out);
  add_review_look(out);
  add_review_next(out);
  add_handover(out);
  add_review_shifts(out);
}

}  // namespace

std::vector<std::unique_ptr<Sample>> samples() {
  Samples out;
  add_people(out);
  add_waiting(out);
  add_looks(out);
  add_together(out);
  add_what_is_done(out);
  add_verdicts(out);
  add_proof(out);
  add_second_looks(out);
  add_return(out);
  add_study(out);
  add_teaching(out);
  add_review(out);
  return out;
}

}  // namespace lastlook::screens
