// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/judged.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

void draw_mark(Canvas& canvas, bool met, Spot at, float across) {
  canvas.shape(met ? Shape::conforming : Shape::nonconforming, at, across,
               met ? Ink::good : Ink::stop, Ink::card);
}

}  // namespace

void JudgedScreen::update(const Facts& facts) {
  rows_.clear();
  if (!facts.proof.judged) return;
  const text::Strings& say = *facts.say;
  const domain::PartJudged& judged = *facts.proof.judged;
  const domain::Master& master = facts.inspection->master;
  const domain::ChallengePart* part = master.challenge_part(judged.part);
  const domain::Variant* variant = master.variant(judged.variant);
  passed_ = judged.unmet.empty();
  proved_ = judged.proof == "held";
  if (part && variant)
    for (const domain::Step& step : variant->checklist) {
      const bool faulty = std::ranges::count(part->faults, step.component) > 0;
      if (!faulty && !part->faults.empty()) continue;
      Row row{component_name(master, step.component),
              "none",
              faulty ? "no" : "yes",
              std::ranges::count(judged.unmet, step.component) == 0,
              {},
              {}};
      for (const domain::ComponentOpinion& one : judged.components)
        if (one.component == step.component) row.seen = one.conforming, row.box = one.box;
      if (!row.met)
        row.trouble =
            say("judged.seen_wanted", {say("seen." + row.seen), say("seen." + row.wanted)});
      rows_.push_back(row);
    }
  std::ranges::stable_partition(rows_, [](const Row& row) { return !row.met; });
  comes_next_ = say(proved_   ? "judged.proved"
                    : passed_ ? "judged.more"
                              : "judged.off",
                    {judged.variant});
  for (const flows::Due& due : facts.proof.proofs)
    if (due.variant == judged.variant && passed_ && !proved_)
      comes_next_ += " " + fmt::format("{}", fmt::join(due.parts, ", "));
}

void JudgedScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.proof.judged) return;
  const domain::PartJudged& judged = *facts.proof.judged;
  const Rect body = draw_head(canvas, facts, (*facts.say)("part.title", {judged.part}),
                              (*facts.say)("judged.head", {judged.variant, judged.model}));
  const Work work = work_areas(canvas, body, 0);
  const Rect lies = draw_camera(canvas, facts, work.picture);
  if (lies.w > 0 && facts.camera.overlay != 0)
    canvas.soft(lies, facts.camera.overlay, {0, 0, 1, 1}, Ink::warn);
  if (lies.w > 0)
    for (const Row& row : rows_) {
      if (row.box.w <= 0) continue;
      const Rect place = on(lies, row.box);
      canvas.outline(place, Ink::shade, 6, canvas.size.round_px * 0.5F);
      canvas.outline(place, Ink::halo, 2.5F, canvas.size.round_px * 0.5F);
      draw_mark(canvas, row.met, {place.right(), place.y}, canvas.size.strong_px);
    }
  draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
}

void JudgedScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect go_on = zone.cut_bottom(size.touch_px, size.gap_px);
  if (!passed_ && canvas.button("judged.contain", zone.cut_bottom(size.touch_px, size.pad_px),
                                {.kind = Kind::must,
                                 .text = say("containment.open",
                                             {std::to_string(facts.proof.contained.size())}),
                                 .shape = Shape::hold,
                                 .type = Type::text}))
    out.emplace_back(ShowContainment{true});
  const Say on = say_on(passed_ ? Kind::good : Kind::stop);
  const Rect band = zone.cut_top(size.huge_px * 1.7F, size.gap_px);
  canvas.fill(band, pair_of(on).ground, size.round_px);
  Rect inside = band.inside(size.pad_px, size.gap_px * 0.5F);
  canvas.shape(passed_ ? Shape::conforming : Shape::nonconforming,
               inside.cut_left(size.huge_px, size.pad_px).centre(), size.huge_px, pair_of(on).text,
               pair_of(on).ground);
  canvas.centred(inside, say(passed_ ? "judged.passed" : "judged.failed"), on, Type::huge,
                 Align::left);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px * 0.8F, size.gap_px * 0.7F);
  canvas.paragraph(card, comes_next_, passed_ ? Say::card : Say::card_stop, Type::text,
                   size.gap_px * 0.7F);
  draw_rows(canvas, facts, card);
  if (canvas.button("judged.go_on", go_on, {.kind = Kind::lead, .text = say("finding.go_on")}))
    out.emplace_back(PartSeen{});
}

void JudgedScreen::draw_rows(Canvas& canvas, const Facts& facts, Rect card) {
  const float line = canvas.line_of(Type::text);
  const float text_w = card.w - canvas.size.text_px - canvas.size.gap_px * 0.7F;
  for (std::size_t i = 0; i < rows_.size(); ++i) {
    const float row_h =
        rows_[i].met ? line : line + canvas.height_of(rows_[i].trouble, text_w, Type::text);
    const bool last = i + 1 == rows_.size();
    if (card.h < row_h + (last ? 0 : line))
      return void(canvas.text(card,
                              (*facts.say)("verdict.more", {std::to_string(rows_.size() - i)}),
                              Say::card_quiet, Type::text));
    draw_row(canvas, facts, rows_[i], card.cut_top(row_h));
  }
}

void JudgedScreen::draw_row(Canvas& canvas, const Facts& facts, const Row& row, Rect area) {
  const text::Strings& say = *facts.say;
  const float line = canvas.line_of(Type::text);
  const Rect mark = area.cut_left(canvas.size.text_px, canvas.size.gap_px * 0.7F);
  draw_mark(canvas, row.met, {mark.centre().x, mark.y + line / 2}, canvas.size.text_px * 0.9F);
  Rect first = area.cut_top(line);
  if (row.met) {
    const std::string word = say(row.wanted == "no" ? "judged.caught" : "judged.right");
    canvas.text(first.cut_right(canvas.width_of(word, Type::text) + 2, canvas.size.gap_px), word,
                Say::card_good, Type::text);
    canvas.text(first, row.name, Say::card, Type::text);
    return;
  }
  canvas.text(first, row.name, Say::card, Type::text);
  canvas.text(area, row.trouble, Say::card_stop, Type::text);
}

}  // namespace lastlook::screens
