// SPDX-License-Identifier: Apache-2.0
// What is true of the plant and of its products: under one revision, approved by a person, adopted
// by a station between units. Every look names the revision it was made under.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/words.h"

namespace lastlook::domain {

// A place on a picture, as fractions of its width and height, 0 to 1 from the top left.
struct Place {
  double x = 0.0;
  double y = 0.0;
  bool operator==(const Place&) const = default;
};

struct Box {
  double x = 0.0, y = 0.0, w = 0.0, h = 0.0;  // fractions of the picture, 0 to 1
  bool operator==(const Box&) const = default;
};

// One kind of nonconformity in the catalogue.
struct Defect {
  std::string id;
  std::string name;
  Severity severity = Severity::major;
  std::vector<std::string> components;  // where it can occur; empty: anywhere
  // When it can occur: a thing can be missing only where it is expected, not wanted only where not.
  std::optional<Expectation> only_when;
  std::vector<UpstreamTest> voids;  // results that no longer count after rework of this defect
  bool operator==(const Defect&) const = default;
};

// The defect of every catalogue: not in it yet. It holds the unit until it is classified.
inline constexpr const char* something_else = "something_else";

// One step of a checklist: one component, looked at in this order.
struct Step {
  std::string component;
  Expectation expected = Expectation::present;
  std::string instruction;  // where to look and what is right; one short sentence
  Manner by = Manner::look;
  // Always answered before the camera's opinion shows, not only where the step was drawn.
  bool answer_first = false;
  bool operator==(const Step&) const = default;
};

struct Component {
  std::string id;
  std::string name;
  Box box;  // on the reference picture
  bool operator==(const Component&) const = default;
};

struct Variant {
  std::string id;
  std::string name;
  std::string body;      // how to tell it from the body alone, before the tag is read
  std::string tag_type;  // the prefix of the code on its tag: "CP210" in CP210-26330-00417
  std::vector<Step> checklist;
  bool operator==(const Variant&) const = default;
};

struct Shift {
  std::string id;
  std::string name;
  int start_min = 0;  // minutes after local midnight; a shift ends where the next one starts
  bool operator==(const Shift&) const = default;
};

struct UpstreamRule {
  UpstreamTest test = UpstreamTest::functional;
  AwayRule away = AwayRule::wait;
  bool operator==(const UpstreamRule&) const = default;
};

// A unit kept to prove the camera's opinions with, known by its own tag. It is never production.
struct ChallengePart {
  std::string serial;               // as printed
  std::string variant;              // what it is judged against
  std::vector<std::string> faults;  // components that are wrong on it; empty: a good one
  bool operator==(const ChallengePart&) const = default;
};

// With which probability the unit of a look that ended so is drawn for a blind second look, 0 to 1.
// Held units have none: a person settles each of them anyway.
struct SecondLookRates {
  double accept = 0.0, rework = 0.0, scrap = 0.0;
  double of(Disposition disposition) const;
  bool operator==(const SecondLookRates&) const = default;
};

// What the site does about a defect that comes too often.
struct ReactionPlan {
  std::string id;
  std::string defect;
  std::string component;  // empty: anywhere
  int times = 0;          // so many units with it, at least 1 ...
  int in_units = 0;       // ... among so many looked at last at the station
  std::string what;       // is to be done; one or two short sentences
  std::string call;       // whom
  bool operator==(const ReactionPlan&) const = default;
};

// The worst that still conforms, or the mildest that no longer does.
struct LimitSample {
  std::string component, defect;
  bool conforming = false;
  std::string
      picture;       // a JPEG or PNG file, base64 (RFC 4648): a revision brings its pictures along
  std::string note;  // what to see in it
  bool operator==(const LimitSample&) const = default;
};
inline constexpr std::size_t largest_sample = 100'000;  // bytes of its text

// What the place of the look is held to, once a shift.
struct Viewing {
  int least_lux = 0;    // illuminance where the unit lies
  int distance_cm = 0;  // at most, from the eye to the unit
  bool operator==(const Viewing&) const = default;
};

struct Master {
  std::int64_t revision = 0;
  std::string product;
  // RE2 pattern of a whole code; group "type" (may be missing) and group "serial".
  std::string tag_pattern;
  std::vector<Component> components;
  std::vector<Variant> variants;
  std::vector<Defect> defects;
  std::vector<Shift> shifts;  // by start_min
  // A production day starts with this shift; looks after midnight in the shift before it belong to
  // the day before.
  std::string day_starts_with;
  std::vector<UpstreamRule> required_results;
  // Nobody has touched the screen for so long, or the program was started again: it asks for the
  // PIN. 0: never.
  int lock_after_min = 0;
  int double_scan_s = 20;  // the serial just closed, scanned again within this time, is no return
  std::vector<ChallengePart> challenge_parts;
  // Whether opinions wait for the proof of this shift, variant and model.
  bool assist_needs_proof = false;
  SecondLookRates second_looks;
  HoldRule hold_release = HoldRule::supervisor;
  RevisionRule revision_approval = RevisionRule::quality_engineer;
  // Of the looks in which nothing was in doubt, the share whose pictures the plant's store gets.
  double picture_sample = 0.02;
  // With which probability a step is drawn to be answered before the camera's opinion shows, 0
  // to 1.
  double answer_first_rate = 0.0;
  // Whether what the camera calls right may be answered by one touch, once it was all shown.
  bool answer_together = false;
  std::vector<ReactionPlan> reaction_plans;
  std::vector<LimitSample> limit_samples;
  std::optional<Viewing> viewing;
  std::string help;  // who comes when help is called; empty: not said

  const ChallengePart* challenge_part(const std::string& serial) const;
  const Variant* variant(const std::string& id) const;
  const Component* component(const std::string& id) const;
  const Defect* defect(const std::string& id) const;
  const Variant* variant_of_tag_type(const std::string& type) const;
  // Catalogue entries that can occur at this component with this expectation, in catalogue order,
  // something_else last.
  std::vector<const Defect*> defects_at(const std::string& component, Expectation expected) const;
  bool operator==(const Master&) const = default;
};

// What contradicts itself in it: a step for a component that is not there, two shifts with one
// start, a pattern that does not compile or lacks its groups, a variant that needs a proof and has
// no good or no faulty challenge part. bad_input names the path.
Status check(const Master& master);

}  // namespace lastlook::domain
