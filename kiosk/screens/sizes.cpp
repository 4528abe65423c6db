// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/sizes.h"

#include <algorithm>
#include <cmath>

namespace lastlook::screens {

Sizes sizes_for(float width_px, float height_px, float mm_per_px, float text_scale) {
  Sizes s;
  // A window shaped unlike a screen must not get type that does not fit across it.
  const float height = std::min(height_px, width_px * 0.65F);
  const float usual = std::round(std::max(4.2F / mm_per_px, height * 0.026F));
  s.text_px = std::round(usual * text_scale);
  s.strong_px = std::round(s.text_px * 1.4F);
  s.huge_px = std::round(s.text_px * 2.1F);
  // On a coarse screen what a target says takes more room than the finger.
  s.finger_px = std::ceil(20.0F / mm_per_px);
  s.touch_px = std::max(s.finger_px, 2 * (usual + s.text_px));
  s.gap_px = std::round(usual * 0.6F);
  s.pad_px = std::round(usual * 0.95F);
  s.round_px = std::round(usual * 0.5F);
  return s;
}

std::vector<float> text_scales(float wanted) {
  std::vector<float> scales;
  constexpr float step = 1.25F;  // each scale takes memory for its fonts
  for (float scale = wanted; scale > 1.1F; scale /= step) scales.push_back(scale);
  scales.push_back(1);
  return scales;
}

float mm_per_px_of(float set_up, float monitor_mm, float monitor_px) {
  if (set_up > 0) return set_up;
  const float told = monitor_px > 0 ? monitor_mm / monitor_px : 0;
  return told > 0.08F && told < 0.35F ? told : 0.2F;
}

}  // namespace lastlook::screens
