// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_story.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

constexpr std::array reasons{"settled", "held_wrongly", "decided"};

// As it was touched; by another way it may be any words.
std::string release_reason(const text::Strings& say, const std::string& why) {
  return std::ranges::count(reasons, why) > 0 ? say("release_why." + why) : why;
}

}  // namespace

void ReviewStoryScreen::enter() {
  releasing_ = linking_ = false;
  keypad_.close();
  second_.leave();
  granting_.leave();
}

bool ReviewStoryScreen::is_asking() const {
  return releasing_ || linking_ || keypad_.is_open() || second_.is_asked() || granting_.is_asked();
}

// The look that was asked for in full, the others in a line each.
void ReviewStoryScreen::update(const Facts& facts) {
  second_.update(facts);
  lines_.clear();
  name_.clear();
  if (!facts.review.story) return;
  const StoryFacts& story = *facts.review.story;
  const text::Strings& say = *facts.say;
  if (!story.told) return void(lines_.push_back({say("story.held_back"), false, Shape::eye_shut}));
  name_ = story.story.serial;
  for (const records::ClaimRow& claim : story.story.claims) tell(say, claim);
  for (const records::LookStory& look : story.story.looks) {
    if (name_.empty()) name_ = look.look.ticket;
    if (look.look.look == story.look) tell(facts, look, true);
  }
  for (const records::LookStory& look : story.story.looks)
    if (look.look.look != story.look) tell(facts, look, false);
  tell_parts(say, story.story);
  const records::Whereabouts& now = story.story.now;
  const bool released = now.state == "on_hold" && now.why == "released";
  lines_.insert(lines_.begin(),
                {say("story.now", {say("story_now." + (released ? now.why : now.state))}), false,
                 std::nullopt});
  if (story.story.disputed) lines_.push_back({say("story.disputed"), false, Shape::hold});
}

void ReviewStoryScreen::tell(const Facts& facts, const records::LookStory& look, bool asked) {
  const text::Strings& say = *facts.say;
  const domain::Master& master = facts.inspection->master;
  const auto& disposition = look.look.disposition;
  const std::int64_t us = look.look.closed_us > 0 ? look.look.closed_us : look.look.opened_us;
  const std::string number =
      look.look.second_of.empty() ? look_number(say, look.look.number) : say("unit.second_look");
  lines_.push_back(
      {say("story.look", {moment(us, facts.now_us, facts.offset_min), number,
                          disposition ? say("disposition." + std::string(to_word(*disposition)))
                                      : say("returned.not_closed")}),
       !asked, disposition ? look_of(*disposition).shape : Shape::parked});
  if (!asked) return;
  for (const records::FindingRow& finding : look.findings) {
    if (finding.withdrawn) continue;
    std::string text =
        say("story.finding",
            {component_name(master, finding.component), defect_name(master, finding.defect),
             say("severity." + std::string(to_word(finding.severity)))});
    for (const records::OpinionRow& opinion : look.opinions)
      if (opinion.component == finding.component)
        text += ". " + say("opinion." + std::string(to_word(opinion.opinion)));
    lines_.push_back({text, false, std::nullopt});
    if (!finding.note.empty()) lines_.push_back({finding.note, true, std::nullopt});
  }
  for (const records::CorrectionRow& one : look.corrections)
    lines_.push_back(
        {say("story.corrected", {moment(one.corrected_us, facts.now_us, facts.offset_min),
                                 say("disposition." + std::string(to_word(one.after)))}),
         true, std::nullopt});
  if (look.release)
    lines_.push_back(
        {say(look.release->second_person.empty() ? "story.released" : "story.released_by_two",
             {moment(look.release->released_us, facts.now_us, facts.offset_min),
              release_reason(say, look.release->why)}),
         true, std::nullopt});
}

// What it is made of: after what happened to it, for whoever asks about a lot.
void ReviewStoryScreen::tell_parts(const text::Strings& say, const records::UnitStory& story) {
  if (!story.builds.empty() && !story.builds.back().made.empty())
    lines_.push_back({say("story.made", {story.builds.back().made}), true, std::nullopt});
  std::vector<std::string> parts;
  for (const records::UnitPartRow& part : story.parts)
    if (part.replaced_us == 0) parts.push_back(part.part + " " + part.lot);
  if (!parts.empty())
    lines_.push_back(
        {say("story.parts", {fmt::format("{}", fmt::join(parts, "; "))}), true, std::nullopt});
}

void ReviewStoryScreen::tell(const text::Strings& say, const records::ClaimRow& claim) {
  const bool escaped = claim.verdict == domain::ClaimVerdict::escaped;
  lines_.push_back({say("story_claim.told", {claim.reported, claim.claim, claim.complaint}), false,
                    escaped ? std::optional(Shape::nonconforming) : std::nullopt});
  lines_.push_back({!claim.verdict
                        ? say("story_claim.open")
                        : say("story_claim." + std::string(to_word(*claim.verdict)), {claim.why}),
                    true, std::nullopt});
}

void ReviewStoryScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.review.story) return;
  canvas.inert(is_asking());
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(std::in_place_type<ReviewEvent>, ShowStory{});
  const Work work = work_areas(canvas, room.area, 0);
  draw_picture(canvas, facts, work.picture);
  draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, room.area, out);
  canvas.inert(false);
  second_.draw(canvas, facts, out);
  if (releasing_) draw_release(canvas, facts, out);
  draw_link(canvas, facts, out);
  granting_.draw(canvas, facts, out);
}

// A unit under a ticket: how its serial became known, then which it is.
void ReviewStoryScreen::draw_link(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  if (const auto code = keypad_.draw(canvas, say); code && !code->empty())
    out.emplace_back(
        flows::Event(flows::LinkSerial{facts.review.story->to_link, *code, known_by_}));
  if (!linking_) return;
  constexpr std::array ways{"tag_read", "by_records"};
  const auto chosen =
      ask_which(canvas, say, "link_by.", ways, say("link.title", {name_}), say("link.text"));
  if (!chosen) return;
  linking_ = false;
  if (*chosen == ways.size()) return;
  known_by_ = ways[*chosen];
  keypad_.open(say("link.type", {name_}));
}

// Why, and where the plant wants two people, with whom.
void ReviewStoryScreen::draw_release(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  const auto chosen = ask_which(canvas, say, "release_why.", reasons, say("release.title", {name_}),
                                say("release.text"));
  if (!chosen) return;
  releasing_ = false;
  if (*chosen == reasons.size()) return;
  const flows::Event release = flows::ReleaseHold{facts.review.story->held_by, reasons[*chosen]};
  if (facts.inspection->master.hold_release == domain::HoldRule::two_people)
    second_.ask(release, facts);
  else
    out.emplace_back(release);
}

void ReviewStoryScreen::draw_picture(Canvas& canvas, const Facts& facts, const Rect& area) {
  const Sizes& size = canvas.size;
  const StoryFacts& story = *facts.review.story;
  canvas.fill(area, Ink::sunk, size.round_px);
  if (story.texture == 0) {
    const std::string trouble = story.trouble.empty() ? "coming" : story.trouble;
    return canvas.centred(area.inside(size.pad_px * 2), (*facts.say)("story_picture." + trouble),
                          Say::sunk, Type::text);
  }
  const Rect lies = fitted(area, story.aspect);
  canvas.picture(lies, story.texture);
  if (story.shown >= story.pictures.size()) return;
  for (const PictureMark& mark : story.pictures[story.shown].marks) {
    if (mark.box.w > 0) {
      const Rect place = on(lies, mark.box).inside(-size.gap_px * 0.5F);
      canvas.outline(place, Ink::shade, 7, size.round_px * 0.6F);
      canvas.outline(place, Ink::halo, 3.5F, size.round_px * 0.6F);
    }
    if (mark.place) {
      const Rect at = on(lies, domain::Box{mark.place->x, mark.place->y, 0, 0});
      canvas.shape(Shape::place, {at.x, at.y}, size.huge_px, Ink::warn, Ink::on_warn);
    }
  }
}

// The next picture, and what may be done by the one who is signed in: about a hold, about a
// finding.
std::vector<ReviewStoryScreen::Act> ReviewStoryScreen::acts(const Facts& facts) const {
  const text::Strings& say = *facts.say;
  const StoryFacts& story = *facts.review.story;
  std::vector<Act> all;
  if (!story.to_link.empty())
    all.push_back({"story.link", say("story.link"), say("story.link_second"), Shape::scan});
  else if (!story.held_by.empty())
    all.push_back(
        {"story.release", say("story.release"), say("story.release_second"), Shape::hold});
  if (!story.grantable.empty())
    all.push_back(
        {"story.grant", say("story.grant"), say("story.grant_second"), Shape::conforming});
  if (const std::size_t pictures = story.pictures.size(); pictures > 1)
    all.push_back({"story.picture", say("story.next_picture"),
                   say("pages.of", {std::to_string(story.shown + 1), std::to_string(pictures)}),
                   Shape::eye});
  return all;
}

void ReviewStoryScreen::act(const std::string& key, const Facts& facts, Requests& out) {
  const StoryFacts& story = *facts.review.story;
  if (key == "story.link") linking_ = true;
  if (key == "story.release") releasing_ = true;
  if (key == "story.grant") granting_.ask(story.variant, story.grantable);
  if (key == "story.picture")
    out.emplace_back(std::in_place_type<ReviewEvent>,
                     ShowStory{story.look, (story.shown + 1) % story.pictures.size()});
}

// On a small screen side by side, so that the story keeps its room.
void ReviewStoryScreen::draw_acts(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out) {
  const Sizes& size = canvas.size;
  const std::vector<Act> all = acts(facts);
  if (all.empty()) return;
  const bool compact = all.size() > 1 && zone.h < size.touch_px * 5;
  const int columns = compact ? 2 : 1;
  const int rows = (static_cast<int>(all.size()) + columns - 1) / columns;
  const float rows_h = static_cast<float>(rows) * (size.touch_px + size.gap_px) - size.gap_px;
  const auto grid = cells(zone.cut_bottom(rows_h, size.gap_px), columns, rows, size.gap_px);
  for (std::size_t i = 0; i < all.size(); ++i)
    if (canvas.button(all[i].key, grid[i],
                      {.text = all[i].text,
                       .second = compact ? "" : all[i].second,
                       .shape = compact ? std::nullopt : std::optional(all[i].shape),
                       .type = Type::text}))
      act(all[i].key, facts, out);
}

void ReviewStoryScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  draw_acts(canvas, facts, zone, out);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px, size.gap_px);
  canvas.paragraph(card, name_, Say::card, Type::strong, size.gap_px * 0.5F);
  draw_lines(canvas, facts, card);
}

void ReviewStoryScreen::draw_lines(Canvas& canvas, const Facts& facts, Rect card) {
  const Sizes& size = canvas.size;
  const float mark = size.text_px;
  const float more_h = canvas.line_of(Type::text);
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    const Line& line = lines_[i];
    const float row_h = canvas.height_of(line.text, card.w - 2 * mark, Type::text);
    const bool last = i + 1 == lines_.size();
    if (card.h < row_h + (last ? 0 : size.gap_px * 0.4F + more_h))
      return void(canvas.text(card,
                              (*facts.say)("verdict.more", {std::to_string(lines_.size() - i)}),
                              Say::card_quiet, Type::text));
    Rect row = card.cut_top(row_h, size.gap_px * 0.4F);
    const Rect side = row.cut_left(mark, mark);
    if (line.shape)
      canvas.shape(*line.shape, {side.centre().x, side.y + more_h / 2}, mark * 1.2F,
                   line.quiet ? Ink::quiet : Ink::text, Ink::card);
    canvas.text(row, line.text, line.quiet ? Say::card_quiet : Say::card, Type::text);
  }
}

}  // namespace lastlook::screens
