// SPDX-License-Identifier: Apache-2.0
// The limit samples of the master data at work, on the graphics side.
#pragma once

#include <memory>
#include <vector>

#include "kiosk/app/picture_texture.h"
#include "kiosk/domain/master.h"
#include "kiosk/screens/facts.h"

namespace lastlook::app {

class SamplePictures {
 public:
  // True: they are those of another revision now. On the window's thread, while it is open.
  bool follow(const domain::Master& master);
  // In the order of the master data; of a picture that cannot be read the texture is 0.
  std::vector<screens::SampleFacts> shown() const;

 private:
  std::vector<domain::LimitSample> of_;
  std::vector<std::unique_ptr<PictureTexture>> textures_;
};

}  // namespace lastlook::app
