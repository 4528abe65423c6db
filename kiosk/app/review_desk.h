// SPDX-License-Identifier: Apache-2.0
// Gathers what the review of the shift is told: of the question that is open, when it is opened and
// after each event, never while drawing. Pictures are read on the task thread.
#pragma once

#include <functional>
#include <memory>
#include <opencv2/core.hpp>

#include "kiosk/app/task_queue.h"
#include "kiosk/flows/station.h"
#include "kiosk/records/pictures.h"
#include "kiosk/screens/request.h"
#include "kiosk/screens/review_facts.h"
#include "kiosk/text/strings.h"

namespace lastlook::app {

class ReviewDesk {
 public:
  struct Parts {
    flows::Station& station;
    domain::Clock& clock;
    std::function<const text::Strings&()> say;  // in the language that is spoken now
    MainQueue& main;
    TaskThread& tasks;
    std::function<void()> changed;  // the facts have, and no touch did it
    std::function<void(const std::string& words)> tell;
  };
  ReviewDesk(const Parts& parts, screens::ReviewFacts& facts);
  ~ReviewDesk();

  void open();  // at the first question
  void handle(const screens::ReviewEvent& event);
  Status gather();

  // The unit's picture that is to be shown, for the graphics side; empty: none.
  struct Plate {
    cv::Mat picture;
    int changes = 0;
  };
  const Plate& plate() const { return plate_; }
  // The texture of the plate, once it is there.
  void show(std::uintptr_t texture, float aspect);

 private:
  void ask(screens::Question question);
  void show_story(const screens::ShowStory& show);
  Status gather_question();
  Status gather_most();
  Status gather_behind();
  Status gather_story();
  Status gather_hold();
  void gather_grantable();
  Status gather_concessions();
  Status gather_usual();
  Status gather_waiting();
  Status gather_whole();
  Status gather_shifts();
  Status choose_shift();
  void write_report();
  void read_picture();
  void put_picture(const cv::Mat& picture, const std::string& trouble);
  std::string kind_name(const std::string& component, const std::string& defect) const;
  std::string worded(const reports::Change& change) const;

  Parts parts_;
  records::Pictures pictures_;
  screens::ReviewFacts& facts_;
  std::optional<reports::WhichShift> which_;  // reviewed; none: to be chosen
  Plate plate_;
  std::string plate_of_;  // hash of the picture that is shown or being read
  std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);  // what is posted late asks it
};

}  // namespace lastlook::app
