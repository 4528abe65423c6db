// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "kiosk/flows/approving.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/teach_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

std::string score_words(const text::Strings& say, double score) {
  return decimal(say, score, 2);
}

}  // namespace

void TeachSheetScreen::enter() {
  shown_ = 0;
  approving_ = false;
  taking_back_.reset();
}

void TeachSheetScreen::update(const Facts& facts) {
  untaught_.clear();
  if (!facts.teaching || !facts.teaching->at.sheet) return;
  const auto& sheet = *facts.teaching->at.sheet;
  if (shown_ >= sheet.components.size()) shown_ = 0;
  for (const domain::Variant& variant : facts.inspection->master.variants)
    if (std::ranges::count(sheet.variants, variant.id) == 0)
      untaught_ += (untaught_.empty() ? "" : ", ") + variant.id;
}

void TeachSheetScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.teaching || !facts.teaching->at.sheet) return;
  const flows::ContactSheet& sheet = *facts.teaching->at.sheet;
  if (sheet.components.empty()) return;
  canvas.inert(approving_ || taking_back_);
  const auto& gap = sheet.components[shown_].gap;
  const Rect body =
      draw_head(canvas, facts, component_name(facts.inspection->master, gap.component),
                (*facts.say)("sheet.head",
                             {std::to_string(shown_ + 1), std::to_string(sheet.components.size()),
                              std::to_string(sheet.pictures)}));
  const Work work = work_areas(canvas, body, 0);
  draw_sheet(canvas, facts, work.picture);
  draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, work.picture, out);
  canvas.inert(false);
  if (approving_) draw_question(canvas, facts, out);
  if (taking_back_) draw_take_back(canvas, facts, out);
}

void TeachSheetScreen::draw_sheet(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const flows::SheetComponent& one = facts.teaching->at.sheet->components[shown_];
  const domain::TaughtGap& gap = one.gap;
  const bool apart = !flows::overlaps(gap);
  const std::string words = say(apart ? "sheet.apart" : "sheet.overlap",
                                {score_words(say, gap.worst_good), score_words(say, gap.best_bad)});
  const float words_h = canvas.height_of(words, area.w - 3 * size.pad_px, Type::text);
  const float band_h = std::max(words_h, size.strong_px) + size.gap_px;
  const float line = canvas.line_of(Type::text);
  const float row_h = (area.h - band_h - 2 * line - 3 * size.gap_px) / 2;
  canvas.paragraph(area, say("sheet.right"), Say::body, Type::text, 0);
  const int columns =
      static_cast<int>(std::clamp<std::size_t>(std::max(one.good.size(), one.bad.size()), 2, 4));
  draw_row(canvas, facts, one.good, columns, "thumb.right.", area.cut_top(row_h, size.gap_px));
  const Rect band = area.cut_top(band_h, size.gap_px);
  canvas.card(band);
  Rect inside = band.inside(size.gap_px, 0);
  canvas.shape(apart ? Shape::conforming : Shape::caution,
               inside.cut_left(size.strong_px, size.gap_px).centre(), size.strong_px,
               apart ? Ink::good : Ink::stop, Ink::card);
  canvas.centred(inside, words, apart ? Say::card : Say::card_stop, Type::text, Align::left);
  canvas.paragraph(area, say(gap.made_up ? "sheet.made_up" : "sheet.others"), Say::body, Type::text,
                   0);
  draw_row(canvas, facts, one.bad, columns, gap.made_up ? "" : "thumb.other.", area);
}

void TeachSheetScreen::draw_row(Canvas& canvas, const Facts& facts,
                                const std::vector<flows::SheetShot>& shots, int columns,
                                const std::string& key, Rect area) {
  const Sizes& size = canvas.size;
  const TeachingFacts& teaching = *facts.teaching;
  const std::string& component = teaching.at.sheet->components[shown_].gap.component;
  const float line = canvas.line_of(Type::text);
  const float h = area.h - line;
  if (h <= 0) return;
  const auto n = static_cast<float>(columns);
  const float w = std::min(h * 4 / 3, (area.w - (n - 1) * size.gap_px) / n);
  for (const flows::SheetShot& shot : shots) {
    if (area.w < w - 1) return;
    Rect cell = area.cut_left(w, size.gap_px);
    const Rect picture = cell.cut_top(std::min(h, w * 3 / 4));
    const auto thumb = std::ranges::find_if(teaching.thumbs, [&](const Thumb& it) {
      return it.component == component && it.file == shot.file;
    });
    canvas.fill(picture, Ink::sunk, size.round_px * 0.5F);
    if (thumb != teaching.thumbs.end() && teaching.sheet != 0)
      canvas.picture(picture, teaching.sheet, thumb->part);
    if (!key.empty() && canvas.target(key + shot.file, picture)) taking_back_ = shot.file;
    cell.h = std::max(cell.h, line);
    canvas.text({cell.x, picture.bottom(), cell.w, line}, score_words(*facts.say, shot.score),
                Say::body, Type::text, Align::middle);
  }
}

void TeachSheetScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const flows::ContactSheet& sheet = *facts.teaching->at.sheet;
  const flows::SheetComponent& one = sheet.components[shown_];
  const auto ways = cells(zone.cut_bottom(size.touch_px, size.gap_px), 2, 1, size.gap_px);
  if (canvas.button("sheet.more_pictures", ways[0],
                    {.kind = Kind::quiet, .text = say("sheet.more_pictures"), .type = Type::text}))
    ask_for(out, flows::GoToStep{flows::Teaching::Step::shoot});
  std::vector<domain::TaughtGap> gaps;
  for (const flows::SheetComponent& it : sheet.components) gaps.push_back(it.gap);
  const bool ready = flows::undecided(gaps) == nullptr;
  const bool busy = facts.teaching->at.busy;
  if (!busy && canvas.button("sheet.approve", ways[1],
                             {.kind = ready ? Kind::good : Kind::quiet,
                              .text = say("sheet.approve"),
                              .type = Type::text})) {
    // What is refused is told by the flow, at once.
    if (ready)
      approving_ = true;
    else
      ask_for(out, flows::Approve{});
  }
  if (sheet.components.size() > 1 &&
      canvas.button("sheet.next", zone.cut_bottom(size.touch_px, size.gap_px),
                    {.text = say("sheet.next"), .type = Type::text}))
    shown_ = (shown_ + 1) % sheet.components.size();
  if (flows::overlaps(one.gap) &&
      canvas.button("sheet.accept", zone.cut_bottom(size.touch_px, size.gap_px),
                    {.kind = Kind::must,
                     .text = say(one.gap.overlap_accepted ? "sheet.accepted" : "sheet.accept"),
                     .type = Type::text,
                     .chosen = one.gap.overlap_accepted}))
    ask_for(out, flows::AcceptOverlap{one.gap.component, !one.gap.overlap_accepted});
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px, size.gap_px);
  const bool apart = !flows::overlaps(one.gap);
  canvas.paragraph(card, say(apart ? "sheet.told_apart" : "sheet.not_told_apart"),
                   apart ? Say::card_good : Say::card_stop, Type::strong, size.gap_px * 0.5F);
  canvas.paragraph(card,
                   one.gap.made_up
                       ? say("sheet.proves_nothing")
                       : say("sheet.proves", {fmt::format("{:.0f}", 100 * one.miss_rate_limit)}),
                   Say::card, Type::text, size.gap_px * 0.5F);
  canvas.aside(
      card,
      say("sheet.held_out", {std::to_string(one.good_stopped), std::to_string(one.bad_passed)}),
      Say::card_quiet, Type::text);
}

// One that was called good and is not, or the other way round.
void TeachSheetScreen::draw_take_back(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  const std::array choices{
      Choice{"take_back.yes", {.text = say("sheet.take_back"), .type = Type::text}},
      Choice{"take_back.back", back_look(say)}};
  const auto chosen = ask(canvas, say("sheet.take_back_title", {*taking_back_}),
                          say("sheet.take_back_text"), choices);
  if (chosen == 0U) ask_for(out, flows::TakeBackShot{*taking_back_});
  if (chosen) taking_back_.reset();
}

void TeachSheetScreen::draw_question(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  const flows::ContactSheet& sheet = *facts.teaching->at.sheet;
  std::string words =
      say("sheet.approve_text", {fmt::format("{}", fmt::join(sheet.variants, ", "))});
  if (!untaught_.empty()) words += " " + say("sheet.untaught", {untaught_});
  const std::array choices{
      Choice{"approve.yes", {.kind = Kind::good, .text = say("sheet.approve"), .type = Type::text}},
      Choice{"approve.back", back_look(say)}};
  const auto chosen = ask(canvas, say("sheet.approve_title", {sheet.model}), words, choices);
  if (chosen) approving_ = false;
  if (chosen == 0U) ask_for(out, flows::Approve{});
}

}  // namespace lastlook::screens
