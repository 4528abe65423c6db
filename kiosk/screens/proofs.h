// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "kiosk/flows/challenge.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// The camera's proof in this shift, variant by variant: how far it has come, and which parts are
// still to be shown.
class ProofsScreen final : public Screen {
 public:
  void enter() override { pager_.reset(); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_proof(Canvas& canvas, const Facts& facts, const flows::Due& due, const Rect& cell);
  void draw_ways(Canvas& canvas, const Facts& facts, Rect& zone, Requests& out);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);

  Pager pager_;
};

// What the waiting screen says of it in one card; nothing when there is nothing to say.
struct ProofLine {
  std::string text, second;
  Kind kind = Kind::plain;
  Shape shape = Shape::eye_shut;
};
std::optional<ProofLine> proof_line(const Facts& facts);

}  // namespace lastlook::screens
