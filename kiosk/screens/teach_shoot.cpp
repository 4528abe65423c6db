// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_shoot.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/teach_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void TeachShootScreen::enter() {
  picking_ = false;
  component_.clear();
  components_.reset();
}

void TeachShootScreen::update(const Facts& facts) {
  if (!facts.teaching) return;
  const text::Strings& say = *facts.say;
  const flows::Teaching& now = facts.teaching->at;
  const auto wanted = domain::still_wanted(now.variant, now.marks, now.shots);
  wanted_ = wanted.empty() ? say("teach.enough") : "";
  // The two that are wanted most; the rest comes up as these are there.
  for (std::size_t i = 0; i < std::min<std::size_t>(2, wanted.size()); ++i)
    wanted_ += (i == 0 ? say("teach.wanted") + " " : "; ") + wanted_words(facts, wanted[i]);
  const std::size_t good = domain::good_shots(now.shots);
  counts_ = say("teach.counts", {std::to_string(good), std::to_string(now.shots.size() - good)});
  unit_.clear();
  for (const domain::KnownFault& fault : now.faults)
    unit_ += (unit_.empty() ? "" : "\n") + fault_words(facts, fault);
}

void TeachShootScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.teaching) return;
  const Sizes& size = canvas.size;
  const flows::Teaching& now = facts.teaching->at;
  const Rect body = draw_head(canvas, facts, (*facts.say)("teach.title"),
                              (*facts.say)("look.head", {now.variant, counts_}));
  Work work =
      work_areas(canvas, body, size.touch_px + 2 * canvas.line_of(Type::text) + size.gap_px);
  const Rect lies = draw_camera(canvas, facts, work.picture);
  if (lies.w > 0) draw_marks(canvas, facts, lies, now.marks, false, component_);
  draw_strip(canvas, facts, work.strip, out);
  if (picking_)
    draw_fault(canvas, facts, work.zone, out);
  else
    draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
}

void TeachShootScreen::draw_strip(Canvas& canvas, const Facts& facts, Rect strip, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const TeachingFacts& teaching = *facts.teaching;
  const int ways = teaching.next_picture ? 3 : 2;
  const auto row = cells(strip.cut_bottom(size.touch_px, size.gap_px), ways, 1, size.gap_px);
  canvas.text(strip, wanted_, Say::body, Type::text);
  if (canvas.button("teach.marks", row[0],
                    {.kind = Kind::quiet, .text = say("teach.marks"), .type = Type::text}))
    ask_for(out, flows::GoToStep{flows::Teaching::Step::mark});
  const bool any = !teaching.at.shots.empty();
  if (canvas.button("teach.take_back", row[1],
                    {.kind = Kind::quiet, .text = say("teach.take_back"), .type = Type::text}) &&
      any)
    ask_for(out, flows::TakeBackShot{teaching.at.shots.back().file});
  if (teaching.next_picture &&
      canvas.button("teach.next_picture", row[2],
                    {.kind = Kind::quiet, .text = say("teach.next_picture"), .type = Type::text}))
    out.emplace_back(NextPicture{});
}

void TeachShootScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  using Step = flows::Teaching::Step;
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const flows::Teaching& now = facts.teaching->at;
  const auto ways = cells(zone.cut_bottom(size.touch_px, size.gap_px), 2, 1, size.gap_px);
  Rect back = ways[0];
  draw_teach_back(canvas, facts, back, flows::GoToStep{Step::home}, out);
  const bool enough = flows::can_learn(now);
  if (canvas.button("teach.learn", ways[1],
                    {.kind = enough ? Kind::good : Kind::quiet,
                     .text = say("teach.learn"),
                     .type = Type::text}))
    ask_for(out, flows::Learn{});
  const Rect take = zone.cut_bottom(size.touch_px * 1.2F, size.gap_px);
  const bool good = now.faults.empty();
  if (draw_take(canvas, facts, take,
                {.kind = Kind::lead,
                 .text = say("teach.take"),
                 .shape = good ? Shape::conforming : Shape::nonconforming}) &&
      facts.camera.texture != 0)
    ask_for(out, flows::TakeShot{});
  const auto pair = cells(zone.cut_bottom(size.touch_px, size.gap_px), 2, 1, size.gap_px);
  if (canvas.button("teach.good", pair[0],
                    {.text = say("teach.good"), .type = Type::text, .chosen = good}))
    ask_for(out, flows::NoFaults{});
  if (canvas.button("teach.fault", pair[1],
                    {.text = say(good ? "teach.fault" : "teach.another_fault"),
                     .type = Type::text,
                     .chosen = !good}))
    picking_ = true;
  draw_unit(canvas, facts, zone);
}

void TeachShootScreen::draw_unit(Canvas& canvas, const Facts& facts, Rect zone) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const flows::Teaching& now = facts.teaching->at;
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px, size.gap_px * 0.7F);
  canvas.paragraph(card, say("teach.under_camera", {now.variant}), Say::card_lead, Type::text,
                   size.gap_px * 0.5F);
  if (unit_.empty()) {
    canvas.paragraph(card, say("teach.is_good"), Say::card, Type::strong, size.gap_px * 0.5F);
    canvas.aside(card, say("teach.is_good_how"), Say::card_quiet, Type::text);
  } else {
    canvas.text(card, unit_, Say::card_stop, Type::strong);
  }
}

void TeachShootScreen::draw_fault(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const flows::Teaching& now = facts.teaching->at;
  if (canvas.button("fault.back", zone.cut_bottom(size.touch_px, size.gap_px), back_look(say))) {
    picking_ = !component_.empty();
    component_.clear();
  }
  const domain::Master& master = facts.inspection->master;
  if (component_.empty()) {
    canvas.paragraph(zone, say("fault.where"), Say::lead, Type::strong, size.gap_px);
    components_.draw(canvas, say, "fault.more", zone, now.marks.size(), 2, size.touch_px,
                     size.touch_px * 1.2F, [&](std::size_t i, const Rect& cell) {
                       const std::string& id = now.marks[i].component;
                       if (canvas.button("fault." + id, cell,
                                         {.text = component_name(master, id), .type = Type::text}))
                         component_ = id;
                     });
    return;
  }
  canvas.paragraph(zone, component_name(master, component_), Say::lead, Type::strong, size.gap_px);
  const auto faults = domain::possible_faults(domain::expected_at(master, now.variant, component_));
  zone.h = std::min(zone.h, static_cast<float>(faults.size()) * (size.touch_px * 1.3F));
  const auto rows = cells(zone, 1, static_cast<int>(faults.size()), size.gap_px);
  for (std::size_t i = 0; i < faults.size(); ++i) {
    const std::string word(to_word(faults[i]));
    if (!canvas.button("seen." + word, rows[i],
                       {.text = say(fmt::format("fault_seen.{}", word)), .type = Type::text}))
      continue;
    ask_for(out, flows::SetFault{{component_, faults[i]}});
    picking_ = false;
    component_.clear();
  }
}

}  // namespace lastlook::screens
