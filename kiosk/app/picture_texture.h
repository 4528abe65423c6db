// SPDX-License-Identifier: Apache-2.0
// A picture on the graphics side: one texture, used again for every frame.
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>

namespace lastlook::app {

// On the window's thread, while the window is open.
class PictureTexture {
 public:
  PictureTexture() = default;
  ~PictureTexture();
  PictureTexture(const PictureTexture&) = delete;
  PictureTexture& operator=(const PictureTexture&) = delete;

  void show(const cv::Mat& bgr);        // 8-bit, three channels
  void show_soft(const cv::Mat& grey);  // 8-bit: white, as dense as the grey is bright
  std::uintptr_t id() const { return id_; }
  float aspect() const;

 private:
  void upload(const cv::Mat& whole, unsigned as, unsigned from);

  unsigned id_ = 0;
  cv::Size size_;
};

}  // namespace lastlook::app
