// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_mark.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/teach_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

domain::Box box_between(const Rect& lies, Spot a, Spot b) {
  const auto x = [&](Spot s) { return std::clamp((s.x - lies.x) / lies.w, 0.0F, 1.0F); };
  const auto y = [&](Spot s) { return std::clamp((s.y - lies.y) / lies.h, 0.0F, 1.0F); };
  return {std::min(x(a), x(b)), std::min(y(a), y(b)), std::abs(x(a) - x(b)), std::abs(y(a) - y(b))};
}

const domain::TeachingMark* mark_of(const Facts& facts, const std::string& component) {
  const auto& marks = facts.teaching->at.marks;
  const auto found = std::ranges::find(marks, component, &domain::TeachingMark::component);
  return found == marks.end() ? nullptr : &*found;
}

// The smallest place that holds the spot.
const domain::TeachingMark* mark_at(const Facts& facts, const Rect& lies, Spot spot) {
  const domain::TeachingMark* found = nullptr;
  for (const domain::TeachingMark& mark : facts.teaching->at.marks)
    if (on(lies, mark.box).contains(spot) &&
        (!found || mark.box.w * mark.box.h < found->box.w * found->box.h))
      found = &mark;
  return found;
}

}  // namespace

void TeachMarkScreen::enter() {
  doing_.reset();
  draft_.reset();
  chosen_.clear();
  named_.clear();
  keypad_.close();
  names_.reset();
}

// What the disk has taken is not a draft any more.
void TeachMarkScreen::update(const Facts& facts) {
  if (!facts.teaching) return;
  if (facts.teaching->at.busy) return;
  // A name that the disk did not take is asked for again.
  if (!named_.empty()) chosen_ = std::exchange(named_, {});
  const domain::TeachingMark* chosen = mark_of(facts, chosen_);
  if (!chosen) chosen_.clear();
  if (chosen && !doing_) draft_.reset();
}

void TeachMarkScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.teaching) return;
  const TeachingFacts& teaching = *facts.teaching;
  canvas.inert(keypad_.is_open());
  const Rect body = draw_head(canvas, facts, (*facts.say)("teach.mark_title"), teaching.at.variant);
  const Work work = work_areas(canvas, body, 0);
  Rect lies = fitted(work.picture, teaching.aspect);
  lies.y = work.picture.y;
  if (teaching.reference != 0)
    canvas.picture(lies, teaching.reference);
  else
    canvas.fill(lies, Ink::sunk, canvas.size.round_px);
  follow_finger(canvas, facts, lies, out);
  auto marks = teaching.at.marks;
  if (draft_ && !chosen_.empty())
    for (domain::TeachingMark& mark : marks)
      if (mark.component == chosen_) mark.box = *draft_;
  draw_marks(canvas, facts, lies, marks, true, chosen_);
  for (const domain::TeachingMark& mark : marks)
    if (mark.component == chosen_) draw_corner(canvas, lies, mark.box);
  draw_draft(canvas, lies);
  draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, lies, out);
  canvas.inert(false);
  if (const auto typed = keypad_.draw(canvas, *facts.say)) name_draft(*typed, out);
}

void TeachMarkScreen::follow_finger(Canvas& canvas, const Facts& facts, const Rect& lies,
                                    Requests& out) {
  const auto drag = canvas.drag("picture", lies);
  if (!drag) {
    doing_.reset();
    return;
  }
  if (!doing_) begin(canvas, facts, lies, drag->from);
  const domain::Box now = dragged(lies, drag->from, drag->at);
  const bool moved = std::hypot(drag->at.x - drag->from.x, drag->at.y - drag->from.y) > 4;
  if (moved) draft_ = now;
  if (!drag->ended) return;
  const Doing done = *std::exchange(doing_, std::nullopt);
  if (done == Doing::drawing) {
    if (!moved || !domain::is_place(now)) draft_.reset();
  } else if (moved && domain::is_place(now)) {
    ask_for(out, flows::PutMark{{chosen_, now}});
  }
}

// A finger on the chosen mark's lower right corner pulls it; on a mark, it chooses and moves that;
// elsewhere it draws a new one.
void TeachMarkScreen::begin(const Canvas& canvas, const Facts& facts, const Rect& lies, Spot from) {
  const domain::TeachingMark* chosen = mark_of(facts, chosen_);
  if (chosen) {
    const Rect place = on(lies, chosen->box);
    const float reach = canvas.size.touch_px * 0.3F;
    if (std::hypot(from.x - place.right(), from.y - place.bottom()) <= reach) {
      doing_ = Doing::pulling;
      before_ = chosen->box;
      return;
    }
  }
  draft_.reset();
  chosen = mark_at(facts, lies, from);
  chosen_ = chosen ? chosen->component : "";
  doing_ = chosen ? Doing::moving : Doing::drawing;
  if (chosen) before_ = chosen->box;
}

domain::Box TeachMarkScreen::dragged(const Rect& lies, Spot from, Spot at) const {
  if (doing_ == Doing::drawing) return box_between(lies, from, at);
  const double dx = (at.x - from.x) / lies.w, dy = (at.y - from.y) / lies.h;
  domain::Box box = before_;
  if (doing_ == Doing::moving) {
    box.x = std::clamp(box.x + dx, 0.0, 1.0 - box.w);
    box.y = std::clamp(box.y + dy, 0.0, 1.0 - box.h);
  } else {
    box.w = std::clamp(box.w + dx, domain::least_mark, 1.0 - box.x);
    box.h = std::clamp(box.h + dy, domain::least_mark, 1.0 - box.y);
  }
  return box;
}

void TeachMarkScreen::draw_draft(Canvas& canvas, const Rect& lies) {
  const Sizes& size = canvas.size;
  if (!draft_) return;
  const Rect place = on(lies, *draft_);
  if (!chosen_.empty()) return;
  canvas.outline(place, Ink::shade, 9, size.round_px * 0.5F);
  canvas.outline(place, Ink::warn, 5, size.round_px * 0.5F);
}

// Where a finger pulls the chosen one.
void TeachMarkScreen::draw_corner(Canvas& canvas, const Rect& lies, const domain::Box& box) {
  const Rect place = on(lies, box);
  const float side = canvas.size.touch_px * 0.3F;
  const Rect corner{place.right() - side / 2, place.bottom() - side / 2, side, side};
  canvas.fill(corner, Ink::shade, side / 2);
  canvas.fill(corner.inside(3), Ink::warn, side / 2);
}

void TeachMarkScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  if (draft_ && chosen_.empty() && named_.empty() && !doing_)
    return draw_naming(canvas, facts, zone, out);
  if (mark_of(facts, chosen_)) return draw_chosen(canvas, facts, zone, out);
  draw_ways_on(canvas, facts, zone, out);
}

void TeachMarkScreen::draw_naming(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto pair = cells(zone.cut_bottom(size.touch_px, size.gap_px), 2, 1, size.gap_px);
  if (canvas.button("mark.drop", pair[0],
                    {.kind = Kind::quiet, .text = say("mark.drop"), .type = Type::text}))
    draft_.reset();
  if (canvas.button("mark.type", pair[1],
                    {.kind = Kind::quiet, .text = say("mark.type"), .type = Type::text}))
    keypad_.open(say("mark.type_title"));
  canvas.paragraph(zone, say("mark.name"), Say::lead, Type::strong, size.gap_px);
  std::vector<const domain::Component*> open;
  for (const domain::Component& one : facts.inspection->master.components)
    if (!mark_of(facts, one.id)) open.push_back(&one);
  names_.draw(
      canvas, say, "names.more", zone, open.size(), 2, size.touch_px, size.touch_px,
      [&](std::size_t i, const Rect& cell) {
        if (canvas.button("name." + open[i]->id, cell, {.text = open[i]->name, .type = Type::text}))
          name_draft(open[i]->id, out);
      });
}

void TeachMarkScreen::name_draft(const std::string& component, Requests& out) {
  if (!draft_) return;
  ask_for(out, flows::PutMark{{component, *draft_}});
  named_ = component;
}

void TeachMarkScreen::draw_chosen(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect done = zone.cut_bottom(size.touch_px, size.gap_px);
  const Rect remove = zone.cut_bottom(size.touch_px, size.pad_px);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  canvas.paragraph(card, component_name(facts.inspection->master, chosen_), Say::card_lead,
                   Type::strong, size.gap_px);
  canvas.paragraph(card, say("mark.change"), Say::card, Type::text, size.gap_px);
  const auto faults =
      std::ranges::count_if(facts.teaching->at.shots, [&](const domain::TeachingShot& shot) {
        return std::ranges::count(shot.faults, chosen_, &domain::KnownFault::component) > 0;
      });
  if (faults > 0)
    canvas.aside(card, say("mark.with_pictures", {std::to_string(faults)}), Say::card_quiet,
                 Type::text);
  if (canvas.button("mark.remove", remove,
                    {.kind = Kind::quiet, .text = say("mark.remove"), .type = Type::text}))
    ask_for(out, flows::RemoveMark{chosen_});
  if (canvas.button("mark.done", done, {.kind = Kind::lead, .text = say("mark.done")}))
    chosen_.clear();
}

void TeachMarkScreen::draw_ways_on(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  using Step = flows::Teaching::Step;
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& marks = facts.teaching->at.marks;
  draw_teach_back(canvas, facts, zone, flows::GoToStep{Step::home}, out);
  if (canvas.button("mark.reference", zone.cut_bottom(size.touch_px, size.gap_px),
                    {.kind = Kind::quiet, .text = say("mark.reference"), .type = Type::text}))
    ask_for(out, flows::GoToStep{Step::reference});
  if (!marks.empty() && canvas.button("mark.go_on", zone.cut_bottom(size.touch_px, size.pad_px),
                                      {.kind = Kind::lead,
                                       .text = say("mark.go_on", {std::to_string(marks.size())}),
                                       .type = Type::text}))
    ask_for(out, flows::GoToStep{Step::shoot});
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  canvas.paragraph(card, say("mark.how"), Say::card_lead, Type::strong, size.gap_px);
  canvas.aside(card, say("mark.how_more"), Say::card, Type::text);
}

}  // namespace lastlook::screens
