// SPDX-License-Identifier: Apache-2.0
// Teaching at the station: the flow's work done, on a thread of its own, and what came of it told.
// On the window's thread.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "kiosk/app/desk.h"
#include "kiosk/app/task_queue.h"
#include "kiosk/capture/camera.h"
#include "kiosk/capture/teaching_shots.h"
#include "kiosk/flows/teaching.h"
#include "kiosk/records/pictures.h"
#include "vision/model.h"

namespace lastlook::app {

class Classroom {
 public:
  struct Parts {
    Desk& desk;
    flows::Station& station;
    MainQueue& main;
    records::Pictures& pictures;                // models lie with them
    std::filesystem::path folder;               // what is photographed and marked: STATION/teaching
    std::function<capture::FramePtr()> newest;  // of the camera; null: none yet
    std::function<std::filesystem::path()> model_file;  // of the model that judges; empty: none
    std::function<void()> next_picture;                 // of a folder of pictures; may be empty
  };
  explicit Classroom(const Parts& parts);
  ~Classroom();  // stops the learning, and waits until it has

  // What a person touched; behind the lock nothing.
  void touch(const flows::TeachEvent& event);
  // After the desk's facts have changed: somebody else may be at the station now.
  void follow(const screens::Facts& facts);

  // What the screens show besides the facts; counted up with each change. Empty: none.
  struct Plates {
    cv::Mat reference, sheet;
    int changes = 0;
  };
  const Plates& plates() const { return plates_; }
  // The textures of the plates, once they are on the graphics side.
  void show(std::uintptr_t reference, std::uintptr_t sheet);

  // What the thread gives back of the folder.
  struct Folder {
    capture::TeachingShots shots;
    cv::Mat reference;  // empty: none was photographed
  };
  // And with a model.
  struct Taught {
    vision::Model model;
    flows::ContactSheet sheet;
    cv::Mat plate;
    std::vector<screens::Thumb> thumbs;
  };

 private:
  void handle(const flows::TeachEvent& event);
  void take(const flows::TeachOutcome& outcome);
  void work(const flows::ReadFolder&);
  void work(const flows::KeepReference&);
  void work(const flows::KeepShot& it);
  void work(const flows::KeepLabels& it);
  void work(const flows::LearnFolder& it);
  void work(const flows::ForgetLesson&);
  void work(const flows::KeepModel& it);
  void work(const flows::FindModel& it);
  void work(const flows::SetFolderAside&);
  // Changes the folder elsewhere, reads it again and says how it is. frame: the number of the one
  // that is photographed; 0: none is.
  void change_folder(std::function<Status(capture::TeachingShots&)> change, std::int64_t frame = 0);
  void learned(std::int64_t lesson, const Result<Taught>& taught);
  void show_folder(const Folder& now, std::int64_t frame, bool done);
  capture::FramePtr new_picture();  // null: there is none, and that was told
  // Says so to the flow, which may refuse it; then all is as it was.
  void change_model(const flows::Event& event, const std::string& to);
  std::string model_in_use() const;  // as approved at this station; empty: none yet
  void gather_models();
  void tell(const std::string& trouble);
  void show_facts();

  Parts parts_;
  flows::Teaching now_;
  capture::TeachingShots shots_;
  std::optional<Taught> taught_;
  std::string listed_;            // the model in use when the list was last asked for
  std::int64_t taken_frame_ = 0;  // number of the frame taken last
  screens::TeachingFacts facts_;
  Plates plates_;
  std::stop_source lesson_;
  std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);  // what is posted late asks it
  TaskThread tasks_;  // last: ends before what its tasks use
};

}  // namespace lastlook::app
