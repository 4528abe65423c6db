// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/proofs.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

using flows::ProofState;

struct StateLook {
  Shape shape;
  Say say;
};

StateLook look_of(ProofState state) {
  switch (state) {
    case ProofState::held:
      return {Shape::conforming, Say::card_good};
    case ProofState::failed:
      return {Shape::nonconforming, Say::card_stop};
    case ProofState::missing:
    case ProofState::begun:
      break;
  }
  return {Shape::open, Say::card};
}

std::string listed(const std::vector<std::string>& parts) {
  return fmt::format("{}", fmt::join(parts, ", "));
}

float words_height(const Canvas& canvas, const text::Strings& say, float width_px) {
  return canvas.height_of(say("proof.how"), width_px, Type::strong) + canvas.size.gap_px +
         canvas.height_of(say("proof.why"), width_px, Type::text);
}

}  // namespace

std::optional<ProofLine> proof_line(const Facts& facts) {
  const text::Strings& say = *facts.say;
  const ProofFacts& proof = facts.proof;
  // The picture's place says so.
  if (facts.camera.state == "none" || facts.camera.state == "no_source") return std::nullopt;
  if (facts.camera.model.empty())
    return ProofLine{say("proof.none"), say("withheld.no_model"), Kind::plain, Shape::eye_shut};
  std::string due;
  bool failed = false;
  for (const flows::Due& one : proof.proofs) {
    if (one.state == ProofState::held) continue;
    failed = failed || one.state == ProofState::failed;
    due += (due.empty() ? "" : ", ") +
           say("proof.due_of", {one.variant, std::to_string(one.parts.size())});
  }
  if (proof.needed && !due.empty())
    return ProofLine{say(failed ? "proof.failed" : "proof.due"), say("proof.show", {due}),
                     failed ? Kind::stop : Kind::plain, Shape::eye_shut};
  if (!proof.contained.empty())
    return ProofLine{say("containment.open", {std::to_string(proof.contained.size())}),
                     say("proof.failed_before"), Kind::must, Shape::hold};
  return std::nullopt;
}

void ProofsScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const std::string& model = facts.camera.model;
  const Rect body = draw_head(canvas, facts, say("proof.title"),
                              model.empty() ? say("waiting.station", {facts.station})
                                            : say("proof.head", {model, facts.station}));
  const Work work = work_areas(canvas, body, 0);
  const float row_h = 4 * canvas.line_of(Type::text) + canvas.line_of(Type::strong) + size.pad_px;
  pager_.draw(canvas, say, "proofs.more", work.picture, facts.proof.proofs.size(), 1, row_h, row_h,
              [&](std::size_t i, const Rect& cell) {
                draw_proof(canvas, facts, facts.proof.proofs[i], cell);
              });
  draw_zone(canvas, facts, work.zone, out);
}

void ProofsScreen::draw_proof(Canvas& canvas, const Facts& facts, const flows::Due& due,
                              const Rect& cell) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const domain::Master& master = facts.inspection->master;
  const StateLook look = look_of(due.state);
  canvas.card(cell);
  Rect card = cell.inside(size.pad_px, size.gap_px * 0.7F);
  const float mark = size.huge_px;
  canvas.shape(look.shape, card.cut_left(mark, size.pad_px).centre(), mark, pair_of(look.say).text,
               Ink::card);
  canvas.paragraph(card, due.variant, Say::card, Type::strong, 0);
  canvas.paragraph(card, say(fmt::format("proof_state.{}", to_word(due.state))), look.say,
                   Type::text, 0);
  if (!due.parts.empty())
    canvas.paragraph(card, say("proof.parts", {listed(due.parts)}), Say::card, Type::text, 0);
  const auto blind = flows::unchallenged(master, due.variant);
  if (!blind.empty())
    canvas.aside(card, say("proof.unchallenged", {component_names(master, blind)}), Say::card_quiet,
                 Type::text);
}

// How the parts wear and what is to be contained; beside each other where one below the other would
// take the room of what is said above.
void ProofsScreen::draw_ways(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& parts = facts.inspection->master.challenge_parts;
  const bool wear = !parts.empty(), contain = !facts.proof.contained.empty();
  if (!wear && !contain) return;
  const float words_h = words_height(canvas, say, zone.w - 2 * size.pad_px) + 2 * size.pad_px;
  const bool beside = wear && contain && zone.h - 2 * (size.touch_px + size.pad_px) < words_h;
  const int rows = wear && contain && !beside ? 2 : 1;
  const float rows_h = static_cast<float>(rows) * (size.touch_px + size.gap_px) - size.gap_px;
  const auto grid = cells(zone.cut_bottom(rows_h, size.pad_px), beside ? 2 : 1, rows, size.gap_px);
  const auto way = [&](std::string_view key, const Rect& cell, Kind kind, const std::string& text,
                       Shape shape) {
    return canvas.button(key, cell,
                         {.kind = kind,
                          .text = text,
                          .shape = beside ? std::nullopt : std::optional(shape),
                          .type = Type::text});
  };
  if (wear && way("proofs.wear", grid.back(), Kind::quiet, say("wear.title"), Shape::bars))
    out.emplace_back(ShowWear{parts.front().serial});
  if (contain &&
      way("proofs.contain", grid.front(), Kind::must,
          say("containment.open", {std::to_string(facts.proof.contained.size())}), Shape::hold))
    out.emplace_back(ShowContainment{true});
}

void ProofsScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect back = zone.cut_bottom(size.touch_px, size.gap_px);
  draw_ways(canvas, facts, zone, out);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  const float mark = size.huge_px * 1.5F;
  if (card.h > mark + size.gap_px + words_height(canvas, say, card.w))
    draw_sign(canvas, card, Shape::scan, mark);
  if (facts.camera.model.empty()) {
    canvas.paragraph(card, say("proof.none"), Say::card_stop, Type::strong, size.gap_px);
    canvas.paragraph(card, say("withheld.no_model"), Say::card, Type::text, size.gap_px);
    canvas.aside(card, facts.camera.model_trouble, Say::card_quiet, Type::text);
  } else {
    canvas.paragraph(card, say("proof.how"), Say::card_lead, Type::strong, size.gap_px);
    canvas.paragraph(card, say("proof.why"), Say::card, Type::text, size.gap_px);
    canvas.aside(card, say("proof.no_rate"), Say::card_quiet, Type::text);
  }
  if (canvas.button("proofs.back", back,
                    {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back}))
    out.emplace_back(ShowProofs{false});
}

}  // namespace lastlook::screens
