// SPDX-License-Identifier: Apache-2.0
// The camera and its assist as the station uses them: what is shown, what is read, what it thinks
// of the unit whose look is open. All on the window's thread; the work is done on others.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "kiosk/app/desk.h"
#include "kiosk/app/picture_texture.h"
#include "kiosk/app/task_queue.h"
#include "kiosk/capture/assist.h"
#include "kiosk/capture/folder_source.h"
#include "kiosk/records/pictures.h"

namespace lastlook::app {

class Eye {
 public:
  struct Parts {
    Desk& desk;
    domain::Clock& clock;
    MainQueue& main;
    TaskThread& tasks;
    records::Pictures& pictures;
  };
  // pictures: what the camera is. models: the folder whose *.model judges until one is approved at
  // this station; from then on only the approved one does, by its file with the pictures.
  // Errors: where there is no such camera. What is wrong with the model the facts say.
  static Result<std::unique_ptr<Eye>> open(const Parts& parts,
                                           const std::filesystem::path& pictures,
                                           const std::filesystem::path& models);
  ~Eye();

  // After the desk's facts have changed: asks about the look or the challenge part that is open
  // now, or watches for tags.
  void follow(const screens::Facts& facts);
  void look_again();  // asks for an opinion from a newer picture
  // Of the model that judges; empty: none does.
  const std::filesystem::path& model_file() const { return model_file_; }
  // The newest picture; null before the first.
  capture::FramePtr newest() const { return camera_->latest(); }
  bool is_folder() const { return folder_ != nullptr; }
  void next_picture();  // where the camera is a folder of pictures

  // Uploads the newest picture if there is a newer one. True: the facts have changed.
  bool show_newest();
  // How long show_newest() need not be called if nothing wakes the loop.
  std::chrono::milliseconds rests_for() const;

 private:
  explicit Eye(const Parts& parts) : parts_(parts) {}
  void follow_approval(const flows::Inspection& state);
  void use(const Result<vision::Model>& model);
  void take(capture::Assistance assistance);
  void offer(const std::vector<std::string>& codes);
  void keep_and_tell(capture::Given given);
  void tell(const capture::Given& given, const Status& kept);

  Parts parts_;
  std::shared_ptr<capture::FolderSource> folder_;  // null: a camera or a video
  std::shared_ptr<capture::Camera> camera_;
  std::unique_ptr<capture::Assist> assist_;
  std::string approved_;              // the model approved last, when it was last looked for
  std::filesystem::path model_file_;  // of the model that judges
  PictureTexture texture_, overlay_;
  std::int64_t shown_frame_ = 0;
  capture::Asked asked_;  // the look or showing asked about; empty: none
  bool busy_ = false;     // with a unit or a part, until its result is left
  bool watching_ = false;
  screens::CameraFacts facts_;
};

}  // namespace lastlook::app
