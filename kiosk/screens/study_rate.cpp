// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/study_rate.h"

#include <fmt/format.h>

#include "kiosk/screens/frame.h"

namespace lastlook::screens {
namespace {

struct AnswerLook {
  Kind kind;
  std::optional<Shape> shape;
};

// The two answers have the signs and places that they have in a look: a hand that knows these must
// not rate the other way round here. More kinds of rating have none, so that none is preferred.
bool are_answers(const StudyTask& task) {
  return task.plan.ratings.size() == 2;
}

AnswerLook look_of(const StudyTask& task, std::size_t rating) {
  if (!are_answers(task)) return {Kind::plain, std::nullopt};
  if (rating == 0) return {Kind::good, Shape::conforming};
  return {Kind::warn, Shape::nonconforming};
}

const domain::StudyItem& item_of(const StudyTask& task) {
  return task.plan.items[task.turn.item];
}

std::string key_of(const StudyTask& task) {
  return fmt::format("{}/{}/{}", task.plan.study, task.turn.trial, item_of(task).label);
}

// The words of a rating: those of an answer, or as the plan has them.
std::string rating_name(const text::Strings& say, const std::string& rating) {
  if (rating == "conforming") return say("answer.conforming");
  if (rating == "nonconforming") return say("answer.nonconforming");
  return rating;
}

}  // namespace

const StudyTask* study_to_rate(const Facts& facts) {
  for (const StudyTask& task : facts.study.tasks)
    if (facts.now_us >= task.turn.from_us) return &task;
  return nullptr;
}

bool StudyRateScreen::is_taken(const StudyTask& task) const {
  return taken_ == key_of(task);
}

void StudyRateScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const StudyTask* task = facts.study.task();
  if (!task) return;
  const domain::StudyPlanned& plan = task->plan;
  const Rect body = draw_head(
      canvas, facts, plan.title,
      say("study.turn", {std::to_string(task->turn.trial), std::to_string(plan.trials),
                         std::to_string(task->turn.done + 1), std::to_string(plan.items.size())}));
  const bool shows_picture = is_taken(*task) && facts.study.picture != 0;
  Work work = work_areas(canvas, body, shows_picture ? canvas.line_of(Type::text) : 0);
  const Rect later = work.zone.cut_bottom(size.touch_px, size.pad_px);
  if (shows_picture)
    draw_picture(canvas, facts, *task, work);
  else
    draw_item(canvas, facts, *task, work.picture);
  if (!is_taken(*task))
    draw_take(canvas, facts, *task, work.zone);
  else if (shows_picture || item_of(*task).picture.empty())
    draw_answers(canvas, facts, *task, work.zone, out);
  draw_notices(canvas, facts, work.picture, out);
  if (canvas.button("study.later", later,
                    {.kind = Kind::quiet,
                     .text = say("study.later"),
                     .shape = Shape::back,
                     .type = Type::text}))
    out.emplace_back(RateStudy{});
}

void StudyRateScreen::draw_picture(Canvas& canvas, const Facts& facts, const StudyTask& task,
                                   const Work& work) {
  canvas.picture(fitted(work.picture, facts.study.aspect), facts.study.picture);
  canvas.centred(work.strip, (*facts.say)("study.picture", {item_of(task).label}), Say::body,
                 Type::text, Align::left);
}

void StudyRateScreen::draw_item(Canvas& canvas, const Facts& facts, const StudyTask& task,
                                const Rect& area) const {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const domain::StudyItem& item = item_of(task);
  const bool by_picture = !item.picture.empty();
  const char* what = is_taken(task) ? (by_picture ? "study.no_picture" : "study.look")
                                    : (by_picture ? "study.open" : "study.take");
  canvas.card(area);
  Rect card = area.inside(size.pad_px * 2);
  card.cut_top(card.h * 0.3F);
  canvas.paragraph(card, say("study.item", {item.label}), Say::card_lead, Type::huge, size.pad_px);
  canvas.paragraph(card, say(what), Say::card, Type::strong, size.gap_px);
  canvas.aside(card, say("study.blind"), Say::card_quiet, Type::text);
}

void StudyRateScreen::draw_take(Canvas& canvas, const Facts& facts, const StudyTask& task,
                                Rect zone) {
  const domain::StudyItem& item = item_of(task);
  const char* text = item.picture.empty() ? "study.lies_here" : "study.show";
  const ButtonLook look{.kind = Kind::lead, .text = (*facts.say)(text, {item.label})};
  const Rect button = zone.cut_bottom(std::min(zone.h, canvas.size.touch_px * 2), 0);
  if (canvas.button("study.taken." + item.label, button, look)) taken_ = key_of(task);
}

void StudyRateScreen::draw_answers(Canvas& canvas, const Facts& facts, const StudyTask& task,
                                   const Rect& zone, Requests& out) {
  const auto& ratings = task.plan.ratings;
  const int columns = ratings.size() > 4 ? 2 : 1;
  const int rows = (static_cast<int>(ratings.size()) + columns - 1) / columns;
  const auto grid = cells(zone, columns, rows, canvas.size.pad_px);
  for (std::size_t i = 0; i < ratings.size(); ++i) {
    const AnswerLook look = look_of(task, i);
    const ButtonLook answer{.kind = look.kind,
                            .text = rating_name(*facts.say, ratings[i]),
                            .shape = look.shape,
                            .type = columns == 1 ? Type::strong : Type::text};
    const std::size_t place = are_answers(task) ? 1 - i : i;
    if (canvas.button("study.rate." + ratings[i], grid[place], answer))
      out.emplace_back(
          flows::Event(flows::RateItem{task.plan.study, item_of(task).label, ratings[i]}));
  }
}

}  // namespace lastlook::screens
