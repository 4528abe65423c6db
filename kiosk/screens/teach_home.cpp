// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_home.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/teach_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

std::string person_called(const Facts& facts, const std::string& id) {
  const auto known = std::ranges::find(facts.people, id, &records::Person::id);
  return known == facts.people.end() ? id : known->name;
}

}  // namespace

void TeachHomeScreen::enter() {
  going_to_.reset();
  starting_afresh_ = false;
  models_.reset();
  variants_.reset();
}

void TeachHomeScreen::update(const Facts& facts) {
  rows_.clear();
  if (!facts.teaching) return;
  const text::Strings& say = *facts.say;
  const std::string& used = facts.camera.model;
  const auto& models = facts.teaching->models;
  const auto add = [&](Row row) {
    if (std::ranges::count(rows_, row.model, &Row::model) == 0) rows_.push_back(std::move(row));
  };
  for (const domain::ApprovedModel& one : models) {
    const std::string by = say("teach.approved", {age(say, one.approved_us, facts.now_us),
                                                  person_called(facts, one.approved_by)});
    const std::string what =
        one.why.empty() ? say("teach.taught_on", {std::to_string(one.pictures),
                                                  fmt::format("{}", fmt::join(one.variants, ", "))})
                        : say("back_why." + one.why);
    add({one.model, by, what, &one == &models.front()});
  }
  if (models.empty() && !used.empty()) add({used, say("teach.from_file"), "", true});
  if (!models.empty() && !models.back().before_file.empty())
    add({models.back().before, say("teach.from_file"), "", false});
}

void TeachHomeScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.teaching) return;
  canvas.inert(going_to_ || starting_afresh_);
  const Rect body = draw_head(canvas, facts, (*facts.say)("teach.title"),
                              (*facts.say)("waiting.station", {facts.station}));
  const Work work = work_areas(canvas, body, 0);
  draw_models(canvas, facts, work.picture);
  draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, work.picture, out);
  canvas.inert(false);
  draw_questions(canvas, facts, out);
}

void TeachHomeScreen::draw_models(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.paragraph(area, say(rows_.empty() ? "teach.no_model" : "teach.models"), Say::body,
                   Type::strong, size.gap_px);
  if (!facts.camera.model_trouble.empty())
    canvas.paragraph(area, say("teach.unusable", {facts.camera.model_trouble}), Say::body,
                     Type::text, size.gap_px);
  const float row_h = std::max(size.touch_px, canvas.line_of(Type::strong) +
                                                  2 * canvas.line_of(Type::text) + size.gap_px * 2);
  models_.draw(canvas, say, "teach.more", area, rows_.size(), 1, row_h, row_h,
               [&](std::size_t i, const Rect& cell) {
                 const Row& row = rows_[i];
                 const bool usable = !row.in_use || !facts.camera.model.empty();
                 const ButtonLook look{
                     .kind = Kind::plain,
                     .text = !row.in_use ? row.model
                             : usable    ? say("teach.in_use", {row.model})
                                         : say("teach.in_use_unusable", {row.model}),
                     .second = row.first + (row.second.empty() ? "" : "\n" + row.second),
                     .shape = !row.in_use ? Shape::back
                              : usable    ? Shape::conforming
                                          : Shape::caution,
                     .type = Type::text,
                     .chosen = row.in_use};
                 if (canvas.button("model." + row.model, cell, look) && !row.in_use)
                   going_to_ = row.model;
               });
}

void TeachHomeScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const flows::Teaching& now = facts.teaching->at;
  draw_teach_back(canvas, facts, zone, flows::LeaveTeaching{}, out);
  const std::size_t good = domain::good_shots(now.shots);
  if (now.unread && !now.busy &&
      canvas.button("teach.read_again", zone.cut_bottom(size.touch_px, size.gap_px),
                    {.text = say("teach.read_again"), .type = Type::text}))
    ask_for(out, flows::OpenTeaching{});
  if (now.reference || now.unread) {
    const auto pair =
        cells(zone.cut_bottom(size.touch_px, size.gap_px), now.sheet ? 2 : 1, 1, size.gap_px);
    if (canvas.button("teach.afresh", pair.front(),
                      {.kind = Kind::quiet, .text = say("teach.afresh"), .type = Type::text}))
      starting_afresh_ = true;
    if (now.sheet && canvas.button("teach.sheet", pair.back(),
                                   {.text = say("teach.to_sheet"), .type = Type::text}))
      ask_for(out, flows::GoToStep{flows::Teaching::Step::sheet});
  }
  if (now.unread)  // where it goes on is not known
    return canvas.paragraph(zone, say("teach.unread"), Say::lead, Type::strong, size.gap_px);
  canvas.paragraph(zone, say("teach.which"), Say::lead, Type::strong, size.gap_px * 0.5F);
  canvas.paragraph(zone,
                   now.reference
                       ? say("teach.begun", {std::to_string(now.marks.size()), std::to_string(good),
                                             std::to_string(now.shots.size() - good)})
                       : say("teach.how"),
                   Say::quiet, Type::text, size.gap_px);
  if (now.busy) return;  // where it goes on is still being read
  const auto& variants = facts.inspection->master.variants;
  variants_.draw(canvas, say, "variants.more", zone, variants.size(), 2, size.touch_px,
                 size.touch_px * 1.4F, [&](std::size_t i, const Rect& cell) {
                   if (canvas.button("teach." + variants[i].id, cell,
                                     {.kind = Kind::lead, .text = variants[i].id}))
                     ask_for(out, flows::ChooseVariant{variants[i].id});
                 });
}

void TeachHomeScreen::draw_questions(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  const ButtonLook back = back_look(say);
  if (going_to_) {
    constexpr std::array whys{"stops_good_units", "misses_bad_units", "taught_by_mistake"};
    std::vector<Choice> choices;
    for (const char* why : whys)
      choices.push_back({std::string("why.") + why,
                         {.text = say(fmt::format("back_why.{}", why)), .type = Type::text}});
    choices.push_back({"why.back", back});
    const auto chosen =
        ask(canvas, say("teach.go_back", {*going_to_}), say("teach.go_back_text"), choices);
    if (chosen && *chosen < whys.size()) ask_for(out, flows::GoBack{*going_to_, whys[*chosen]});
    if (chosen) going_to_.reset();
  } else if (starting_afresh_) {
    const std::array choices{
        Choice{"afresh.yes", {.text = say("teach.afresh"), .type = Type::text}},
        Choice{"afresh.back", back}};
    const auto chosen = ask(canvas, say("teach.afresh_title"), say("teach.afresh_text"), choices);
    if (chosen == 0U) ask_for(out, flows::StartAfresh{});
    if (chosen) starting_afresh_ = false;
  }
}

}  // namespace lastlook::screens
