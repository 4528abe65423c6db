// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/picture_texture.h"

#define GLFW_INCLUDE_GLEXT
#include <GLFW/glfw3.h>

namespace lastlook::app {

PictureTexture::~PictureTexture() {
  if (id_ != 0) glDeleteTextures(1, &id_);
}

void PictureTexture::show(const cv::Mat& bgr) {
  if (bgr.empty() || bgr.type() != CV_8UC3) return;
  upload(bgr.isContinuous() ? bgr : bgr.clone(), GL_RGB, GL_BGR);
}

void PictureTexture::show_soft(const cv::Mat& grey) {
  if (grey.empty() || grey.type() != CV_8UC1) return;
  cv::Mat soft(grey.size(), CV_8UC4, cv::Scalar::all(255));
  cv::insertChannel(grey, soft, 3);
  upload(soft, GL_RGBA, GL_RGBA);
}

void PictureTexture::upload(const cv::Mat& whole, unsigned as, unsigned from) {
  if (id_ == 0) {
    glGenTextures(1, &id_);
    glBindTexture(GL_TEXTURE_2D, id_);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  }
  glBindTexture(GL_TEXTURE_2D, id_);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  if (size_ == whole.size()) {
    glTexSubImage2D(GL_TEXTURE_2D, 0, 0, 0, whole.cols, whole.rows, from, GL_UNSIGNED_BYTE,
                    whole.data);
    return;
  }
  glTexImage2D(GL_TEXTURE_2D, 0, static_cast<int>(as), whole.cols, whole.rows, 0, from,
               GL_UNSIGNED_BYTE, whole.data);
  size_ = whole.size();
}

float PictureTexture::aspect() const {
  return size_.height > 0 ? static_cast<float>(size_.width) / static_cast<float>(size_.height)
                          : 4.0F / 3.0F;
}

}  // namespace lastlook::app
