// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// "Does the look work?": what blind second looks, the camera's proof and its opinions beside the
// answers say of it.
class ReviewLookScreen final : public Screen {
 public:
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  struct Line {
    std::string text;
    Shape shape = Shape::open;
    Ink ink = Ink::text;
  };
  // One witness.
  struct Witness {
    std::string title, number, text, quiet;
    std::vector<Line> lines;
  };

  void tell_second_looks(const Facts& facts);
  void tell_proofs(const Facts& facts);
  void tell_camera(const Facts& facts);
  void draw_witness(Canvas& canvas, const Witness& witness, Rect card);

  std::string answer_;
  Witness second_looks_, proofs_, camera_;
};

}  // namespace lastlook::screens
