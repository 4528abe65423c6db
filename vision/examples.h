// SPDX-License-Identifier: Apache-2.0
// Every component of every teaching picture, seen as it is, through disturbances, and with faults
// made up.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "vision/align.h"
#include "vision/patch.h"
#include "vision/teach.h"
#include "vision/teaching_folder.h"

namespace lastlook::vision {

struct Sight {
  cv::Mat row;        // describe()'s numbers
  cv::Mat plain_row;  // of a fault made up from a right one: without the disturbance
  cv::Mat view;       // matching_view()
  State state = State::present;
  bool made_up = false;    // state is a fault that was made up
  bool disturbed = false;  // seen through a disturbance
  std::size_t picture = 0;
  std::size_t variant = 0;
  int group = 0;  // of like light
};

struct Gathered {
  AlignmentReference alignment;
  cv::Mat reference;  // 8-bit BGR
  cv::Mat thumbnail;
  std::vector<PatchFrame> frames;          // by component
  std::vector<bool> shiny;                 // by component: right ones show highlights
  std::vector<std::vector<Sight>> sights;  // by component
  // By component and picture: the code read in the component's place; empty where none was.
  std::vector<std::vector<std::string>> codes;
  std::vector<cv::Rect2d> code_boxes_px;  // by component: all places of its codes, on the reference
  int light_groups = 1;
  std::vector<std::string> notes;
};

Result<Gathered> gather(const TeachingFolder& folder, const Progress& progress,
                        const std::stop_token& stop = {});
// What teaching says when it was told to stop.
tl::unexpected<Error> stopped();

}  // namespace lastlook::vision
