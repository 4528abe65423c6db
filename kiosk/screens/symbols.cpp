// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/symbols.h"

#include <initializer_list>
#include <numbers>

namespace lastlook::screens {
namespace {

// Draws in a square from -1 to 1, so that every symbol is written in one measure.
class Pen {
 public:
  Pen(ImDrawList& list, Spot centre, float size) : list_(list), at_(centre), r_(size / 2) {}

  ImVec2 to(float x, float y) const { return {at_.x + x * r_, at_.y + y * r_}; }

  void disc(float x, float y, float radius, ImU32 ink) const {
    list_.AddCircleFilled(to(x, y), radius * r_, ink, 40);
  }
  void ring(float x, float y, float radius, float width, ImU32 ink) const {
    list_.AddCircle(to(x, y), radius * r_, ink, 40, width * r_);
  }
  void area(std::initializer_list<ImVec2> corners, ImU32 ink) const {
    for (const ImVec2& c : corners) list_.PathLineTo(to(c.x, c.y));
    list_.PathFillConvex(ink);
  }
  void stroke(std::initializer_list<ImVec2> points, float width, ImU32 ink,
              bool closed = false) const {
    for (const ImVec2& p : points) list_.PathLineTo(to(p.x, p.y));
    list_.PathStroke(ink, closed ? ImDrawFlags_Closed : ImDrawFlags_None, width * r_);
  }
  void box(float x0, float y0, float x1, float y1, float round, ImU32 ink) const {
    list_.AddRectFilled(to(x0, y0), to(x1, y1), ink, round * r_);
  }
  void frame(float x0, float y0, float x1, float y1, float round, float width, ImU32 ink) const {
    list_.AddRect(to(x0, y0), to(x1, y1), ink, round * r_, 0, width * r_);
  }
  void arc(float x, float y, float radius, float from, float to_angle, float width,
           ImU32 ink) const {
    list_.PathArcTo(to(x, y), radius * r_, from, to_angle, 24);
    list_.PathStroke(ink, 0, width * r_);
  }

 private:
  ImDrawList& list_;
  Spot at_;
  float r_;
};

constexpr float pi = std::numbers::pi_v<float>;

void diamond(const Pen& pen, ImU32 ink) {
  pen.area({{0, -1}, {1, 0}, {0, 1}, {-1, 0}}, ink);
}

void draw_rework(const Pen& pen, ImU32 ink, ImU32 cut) {
  diamond(pen, ink);
  pen.arc(0.02F, 0.05F, 0.34F, -0.75F * pi, 0.7F * pi, 0.17F, cut);
  pen.area({{-0.55F, -0.12F}, {-0.36F, -0.5F}, {-0.02F, -0.12F}}, cut);
}

void draw_scrap(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.area({{-0.5F, -0.9F}, {0.5F, -0.9F}, {1, 0}, {0.5F, 0.9F}, {-0.5F, 0.9F}, {-1, 0}}, ink);
  pen.stroke({{-0.38F, -0.38F}, {0.38F, 0.38F}}, 0.2F, cut);
  pen.stroke({{-0.38F, 0.38F}, {0.38F, -0.38F}}, 0.2F, cut);
}

void draw_hold(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.box(-0.86F, -0.86F, 0.86F, 0.86F, 0.16F, ink);
  pen.stroke({{-0.5F, 0}, {0.5F, 0}}, 0.26F, cut);
  pen.stroke({{-0.5F, -0.42F}, {-0.5F, 0.42F}}, 0.2F, cut);
  pen.stroke({{0.5F, -0.42F}, {0.5F, 0.42F}}, 0.2F, cut);
}

void draw_parked(const Pen& pen, ImU32 ink) {
  pen.stroke({{-0.8F, -0.8F}, {0.3F, -0.8F}, {0.8F, -0.3F}, {0.8F, 0.8F}, {-0.8F, 0.8F}}, 0.18F,
             ink, true);
  pen.area({{0.3F, -0.8F}, {0.8F, -0.3F}, {0.3F, -0.3F}}, ink);
}

void draw_eye(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.area({{-1, 0},
            {-0.55F, -0.42F},
            {0, -0.58F},
            {0.55F, -0.42F},
            {1, 0},
            {0.55F, 0.42F},
            {0, 0.58F},
            {-0.55F, 0.42F}},
           ink);
  pen.disc(0, 0, 0.36F, cut);
  pen.disc(0, 0, 0.18F, ink);
}

void draw_eye_shut(const Pen& pen, ImU32 ink) {
  pen.stroke({{-1, -0.1F}, {-0.55F, 0.25F}, {0, 0.38F}, {0.55F, 0.25F}, {1, -0.1F}}, 0.16F, ink);
  pen.stroke({{-0.55F, 0.25F}, {-0.7F, 0.55F}}, 0.14F, ink);
  pen.stroke({{0, 0.38F}, {0, 0.72F}}, 0.14F, ink);
  pen.stroke({{0.55F, 0.25F}, {0.7F, 0.55F}}, 0.14F, ink);
}

void draw_scan(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.box(-1, -0.7F, 1, 0.7F, 0.14F, ink);
  for (const float x : {0.12F, 0.5F})
    for (const float y : {-0.42F, -0.04F, 0.34F})
      if (x < 0.4F || y != -0.04F) pen.box(x, y - 0.04F, x + 0.26F, y + 0.2F, 0, cut);
  pen.box(-0.78F, -0.44F, -0.06F, -0.22F, 0, cut);
  pen.box(-0.78F, -0.02F, -0.26F, 0.14F, 0, cut);
  pen.box(-0.78F, 0.3F, -0.16F, 0.46F, 0, cut);
}

void draw_no_tag(const Pen& pen, ImU32 ink) {
  pen.frame(-1, -0.7F, 1, 0.7F, 0.14F, 0.14F, ink);
  pen.stroke({{-0.62F, 0.36F}, {0.62F, -0.36F}}, 0.16F, ink);
}

void draw_keys(const Pen& pen, ImU32 ink) {
  for (const float y : {-0.62F, 0.0F, 0.62F})
    for (const float x : {-0.62F, 0.0F, 0.62F})
      pen.box(x - 0.22F, y - 0.22F, x + 0.22F, y + 0.22F, 0.08F, ink);
}

void draw_bars(const Pen& pen, ImU32 ink) {
  pen.box(-0.9F, -0.8F, 0.9F, -0.4F, 0, ink);
  pen.box(-0.9F, -0.2F, 0.3F, 0.2F, 0, ink);
  pen.box(-0.9F, 0.4F, -0.3F, 0.8F, 0, ink);
}

void draw_leave(const Pen& pen, ImU32 ink) {
  pen.stroke({{0.1F, -0.85F}, {-0.8F, -0.85F}, {-0.8F, 0.85F}, {0.1F, 0.85F}}, 0.17F, ink);
  pen.stroke({{-0.3F, 0}, {0.6F, 0}}, 0.17F, ink);
  pen.area({{0.5F, -0.42F}, {1, 0}, {0.5F, 0.42F}}, ink);
}

void draw_back(const Pen& pen, ImU32 ink) {
  pen.stroke({{0.45F, -0.75F}, {-0.45F, 0}, {0.45F, 0.75F}}, 0.24F, ink);
}

void draw_rub_out(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.area({{-1, 0}, {-0.4F, -0.62F}, {1, -0.62F}, {1, 0.62F}, {-0.4F, 0.62F}}, ink);
  pen.stroke({{-0.05F, -0.26F}, {0.5F, 0.26F}}, 0.15F, cut);
  pen.stroke({{-0.05F, 0.26F}, {0.5F, -0.26F}}, 0.15F, cut);
}

void draw_caution(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.area({{0, -0.9F}, {1, 0.8F}, {-1, 0.8F}}, ink);
  pen.stroke({{0, -0.3F}, {0, 0.25F}}, 0.2F, cut);
  pen.disc(0, 0.52F, 0.12F, cut);
}

void draw_place(const Pen& pen, ImU32 ink, ImU32 cut) {
  pen.ring(0, 0, 0.7F, 0.34F, cut);
  pen.ring(0, 0, 0.7F, 0.2F, ink);
  for (const float side : {-1.0F, 1.0F}) {
    pen.stroke({{side * 0.45F, 0}, {side, 0}}, 0.2F, ink);
    pen.stroke({{0, side * 0.45F}, {0, side}}, 0.2F, ink);
  }
}

void draw_person(const Pen& pen, ImU32 ink) {
  pen.disc(0, -0.42F, 0.42F, ink);
  pen.area({{-0.85F, 0.9F},
            {-0.72F, 0.4F},
            {-0.35F, 0.12F},
            {0.35F, 0.12F},
            {0.72F, 0.4F},
            {0.85F, 0.9F}},
           ink);
}

// A raised hand.
void draw_help(const Pen& pen, ImU32 ink) {
  pen.area({{-0.62F, 0.05F},
            {0.5F, 0.05F},
            {0.5F, 0.5F},
            {0.25F, 0.95F},
            {-0.3F, 0.95F},
            {-0.62F, 0.5F}},
           ink);
  for (const auto& [x, top] :
       {std::pair{-0.5F, -0.55F}, {-0.18F, -0.9F}, {0.14F, -0.8F}, {0.42F, -0.45F}})
    pen.stroke({{x, 0.3F}, {x, top}}, 0.2F, ink);
  pen.stroke({{0.4F, 0.45F}, {0.85F, -0.05F}}, 0.22F, ink);
}

// Three quarters round, with a head.
void draw_turn(const Pen& pen, ImU32 ink) {
  pen.arc(0, 0, 0.7F, -0.2F * pi, 1.2F * pi, 0.22F, ink);
  pen.area({{0.1F, -0.5F}, {0.95F, -0.62F}, {0.72F, 0.2F}}, ink);
}

// A finger that comes down on something.
void draw_touch(const Pen& pen, ImU32 ink) {
  pen.stroke({{0, -0.95F}, {0, 0.25F}}, 0.42F, ink);
  pen.stroke({{-0.9F, 0.85F}, {0.9F, 0.85F}}, 0.22F, ink);
  pen.stroke({{-0.85F, 0.45F}, {-0.5F, 0.3F}}, 0.16F, ink);
  pen.stroke({{0.85F, 0.45F}, {0.5F, 0.3F}}, 0.16F, ink);
}

// A pull away from where it sits.
void draw_tug(const Pen& pen, ImU32 ink) {
  pen.stroke({{-0.9F, 0.85F}, {0.9F, 0.85F}}, 0.22F, ink);
  pen.stroke({{0, 0.6F}, {0, -0.4F}}, 0.26F, ink);
  pen.area({{-0.55F, -0.25F}, {0.55F, -0.25F}, {0, -0.98F}}, ink);
}

}  // namespace

void draw_shape(ImDrawList& list, Shape shape, Spot centre, float size, ImU32 ink, ImU32 cut) {
  const Pen pen(list, centre, size);
  switch (shape) {
    case Shape::conforming:
      pen.disc(0, 0, 0.96F, ink);
      return pen.stroke({{-0.42F, 0.04F}, {-0.1F, 0.38F}, {0.46F, -0.34F}}, 0.22F, cut);
    case Shape::nonconforming:
      diamond(pen, ink);
      pen.stroke({{0, -0.5F}, {0, 0.14F}}, 0.22F, cut);
      return pen.disc(0, 0.42F, 0.13F, cut);
    case Shape::open:
      return pen.ring(0, 0, 0.8F, 0.2F, ink);
    case Shape::rework:
      return draw_rework(pen, ink, cut);
    case Shape::hold:
      return draw_hold(pen, ink, cut);
    case Shape::scrap:
      return draw_scrap(pen, ink, cut);
    case Shape::parked:
      return draw_parked(pen, ink);
    case Shape::eye:
      return draw_eye(pen, ink, cut);
    case Shape::eye_shut:
      return draw_eye_shut(pen, ink);
    case Shape::scan:
      return draw_scan(pen, ink, cut);
    case Shape::no_tag:
      return draw_no_tag(pen, ink);
    case Shape::keys:
      return draw_keys(pen, ink);
    case Shape::bars:
      return draw_bars(pen, ink);
    case Shape::leave:
      return draw_leave(pen, ink);
    case Shape::back:
      return draw_back(pen, ink);
    case Shape::rub_out:
      return draw_rub_out(pen, ink, cut);
    case Shape::caution:
      return draw_caution(pen, ink, cut);
    case Shape::place:
      return draw_place(pen, ink, cut);
    case Shape::person:
      return draw_person(pen, ink);
    case Shape::help:
      return draw_help(pen, ink);
    case Shape::turn:
      return draw_turn(pen, ink);
    case Shape::touch:
      return draw_touch(pen, ink);
    case Shape::tug:
      return draw_tug(pen, ink);
  }
}

}  // namespace lastlook::screens
