// SPDX-License-Identifier: Apache-2.0
// A teaching folder as it is filled at the station: the form that `lastlook teach` reads
// (vision/teaching_folder.h), on disk after every touch.
//
//   FOLDER/reference.jpg, shot-001.jpg, …   pictures, each there before a row names it
//   FOLDER/components.json                  from the marks and the master data
//   FOLDER/labels.csv                       from the marks and the shots
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/teaching.h"

namespace lastlook::capture {

struct TeachingShots {
  bool reference = false;  // its picture is there
  cv::Size picture_px;     // of the reference
  std::vector<domain::TeachingMark> marks;
  std::vector<domain::TeachingShot> shots;
  bool operator==(const TeachingShots&) const = default;
};

// What is in the folder; nothing where there is none. A picture with a fault at a place that is not
// marked is left out. bad_input: a file that is not of this form. io: the disk does not say what is
// there; only what it says is not there is nothing.
Result<TeachingShots> read_shots(const std::filesystem::path& folder, const domain::Master& master);

// Each is durable when it returns; after an error `shots` is as it was. picture: 8-bit BGR.
// bad_input: a picture of another size than the reference. io.
Status keep_reference(const std::filesystem::path& folder, TeachingShots& shots,
                      const domain::Master& master, const cv::Mat& picture);
// shot.file is filled in with a name of its own.
Status keep_shot(const std::filesystem::path& folder, TeachingShots& shots,
                 const domain::Master& master, const cv::Mat& picture, domain::TeachingShot shot);
// Replaces what the folder says of marks and shots; pictures that no row names stay.
Status keep_labels(const std::filesystem::path& folder, TeachingShots& shots,
                   const domain::Master& master, std::vector<domain::TeachingMark> marks,
                   std::vector<domain::TeachingShot> taken);

// Moves the folder beside itself, under the first free name FOLDER-1, FOLDER-2, …
Status set_aside(const std::filesystem::path& folder);

}  // namespace lastlook::capture
