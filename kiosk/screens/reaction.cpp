// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/reaction.h"

#include <algorithm>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

// As the revision at work has it now; nullptr: it has it no more.
const domain::ReactionPlan* plan_of(const Facts& facts, const domain::Reaction& reaction) {
  const auto& plans = facts.inspection->master.reaction_plans;
  const auto found = std::ranges::find(plans, reaction.plan, &domain::ReactionPlan::id);
  return found == plans.end() ? nullptr : &*found;
}

}  // namespace

std::string name_of(const Facts& facts, const domain::Reaction& reaction) {
  const domain::Master& master = facts.inspection->master;
  const std::string defect = defect_name(master, reaction.defect);
  if (reaction.component.empty()) return defect;
  return component_name(master, reaction.component) + ": " + defect;
}

std::string count_of(const Facts& facts, const domain::Reaction& reaction) {
  return (*facts.say)("reaction.count",
                      {std::to_string(reaction.times), std::to_string(reaction.in_units)});
}

void ReactionScreen::enter() {
  keypad_.close();
}

void ReactionScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const auto at = std::ranges::find(facts.reactions, facts.reaction_shown.value_or(""),
                                    &domain::Reaction::reaction);
  if (at == facts.reactions.end()) return;
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.inert(keypad_.is_open());
  const Rect body = draw_head(canvas, facts, say("reaction.title"),
                              moment(at->raised_us, facts.now_us, facts.offset_min));
  const Work work = work_areas(canvas, body, 0);
  canvas.card(work.picture);
  Rect card = work.picture.inside(size.pad_px * 1.5F);
  draw_sign(canvas, card, Shape::caution, std::min(size.huge_px * 1.7F, card.h * 0.25F));
  canvas.paragraph(card, name_of(facts, *at), Say::card_lead, Type::huge, size.gap_px);
  canvas.paragraph(card, count_of(facts, *at), Say::card, Type::strong, size.pad_px);
  if (const domain::ReactionPlan* plan = plan_of(facts, *at)) {
    canvas.paragraph(card, say("reaction.what"), Say::card_quiet, Type::text, 0);
    canvas.paragraph(card, plan->what, Say::card, Type::strong, size.gap_px);
    if (!plan->call.empty()) {
      canvas.paragraph(card, say("reaction.call"), Say::card_quiet, Type::text, 0);
      canvas.paragraph(card, plan->call, Say::card, Type::strong, size.gap_px);
    }
  }
  draw_notices(canvas, facts, work.picture, out);
  draw_zone(canvas, facts, *at, work.zone, out);
  canvas.inert(false);
  if (const auto why = keypad_.draw(canvas, say))
    out.emplace_back(flows::Event(flows::SettleReaction{at->reaction, *why}));
}

void ReactionScreen::draw_zone(Canvas& canvas, const Facts& facts, const domain::Reaction&,
                               Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const bool settles = domain::may(facts.inspection->role, domain::Right::settle);
  const Rect help = zone.cut_bottom(size.touch_px, size.gap_px);
  const Rect seen = zone.cut_bottom(size.touch_px * 1.35F, size.gap_px);
  const Rect settle = settles ? zone.cut_bottom(size.touch_px, size.pad_px) : Rect{};
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  canvas.paragraph(card, say("reaction.stays_open"), Say::card, Type::text, size.gap_px);
  canvas.aside(card, say("reaction.site_rules"), Say::card_quiet, Type::text);
  if (settles && canvas.button("reaction.settle", settle, {.text = say("reaction.settle")}))
    keypad_.open(say("reaction.settle_title"), Keypad::For::words);
  if (canvas.button("reaction.seen", seen, {.kind = Kind::lead, .text = say("reaction.seen")}))
    out.emplace_back(ShowReaction{});
  if (canvas.button("help", help,
                    {.kind = Kind::quiet,
                     .text = say("help.call_long"),
                     .shape = Shape::help,
                     .type = Type::text}))
    out.emplace_back(flows::Event(flows::CallHelp{}));
}

}  // namespace lastlook::screens
