// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/contact_sheet.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <opencv2/imgproc.hpp>
#include <set>

#include "vision/judge.h"
#include "vision/picture_file.h"

namespace lastlook::app {
namespace {

const cv::Size thumb_px(192, 144);
constexpr double room_around = 0.25;  // of the component's larger side

std::vector<flows::SheetShot> shown(const vision::TeachingFolder& folder,
                                    const std::vector<vision::HeldOutPicture>& ones) {
  std::vector<flows::SheetShot> shots;
  for (const vision::HeldOutPicture& one : ones)
    if (shots.size() < most_shown) shots.push_back({folder.pictures[one.picture].file, one.score});
  return shots;
}

// The component and a little around it, in the shape of a thumb.
cv::Mat cut_out(const cv::Mat& picture, const cv::Rect2d& box) {
  const double room = 2 * room_around * std::max(box.width, box.height);
  const double aspect = static_cast<double>(thumb_px.width) / thumb_px.height;
  const double w = std::max(box.width + room, (box.height + room) * aspect), h = w / aspect;
  const cv::Point2d middle(box.x + box.width / 2, box.y + box.height / 2);
  cv::Mat thumb;
  cv::Mat whole;
  cv::getRectSubPix(picture, cv::Size(std::max(8, cvRound(w)), std::max(8, cvRound(h))),
                    cv::Point2f(middle), whole);
  cv::resize(whole, thumb, thumb_px, 0, 0, cv::INTER_AREA);
  return thumb;
}

}  // namespace

flows::ContactSheet contact_sheet(const vision::TeachingFolder& folder,
                                  const vision::TeachResult& result) {
  flows::ContactSheet sheet;
  sheet.model = result.model.id;
  for (const vision::Variant& variant : result.model.variants)
    sheet.variants.push_back(variant.name);
  sheet.pictures = static_cast<int>(folder.pictures.size());
  sheet.lights = result.light_groups;
  sheet.notes = result.notes;
  for (const vision::ComponentReport& report : result.components) {
    flows::SheetComponent one;
    one.gap = {report.name, report.worst_good, report.best_bad, report.made_up, false};
    one.good = shown(folder, report.good_ones);
    one.bad = shown(folder, report.bad_ones);
    one.good_stopped = report.good_stopped;
    one.bad_passed = report.bad_passed;
    one.miss_rate_limit = report.miss_rate_limit;
    sheet.components.push_back(std::move(one));
  }
  return sheet;
}

Result<ContactPlate> contact_plate(const vision::TeachingFolder& folder, const vision::Model& model,
                                   const flows::ContactSheet& sheet) {
  std::map<std::string, std::set<std::size_t>> wanted;  // components by file
  for (std::size_t c = 0; c < sheet.components.size(); ++c)
    for (const auto* row : {&sheet.components[c].good, &sheet.components[c].bad})
      for (const flows::SheetShot& shot : *row) wanted[shot.file].insert(c);
  std::vector<cv::Mat> cuts;
  ContactPlate plate;
  for (const vision::LabelledPicture& one : folder.pictures) {
    if (!wanted.contains(one.file)) continue;
    const auto picture = vision::read_picture(one.path);
    if (!picture) return tl::unexpected(picture.error());
    const auto judged = vision::judge(model, *picture, model.variants[one.variant].name);
    for (const std::size_t c : wanted[one.file]) {
      const bool found = judged && judged->alignment.found;
      cuts.push_back(
          cut_out(*picture, found ? judged->components[c].box_px : model.components[c].box_px));
      plate.thumbs.push_back({model.components[c].name, one.file, {}});
    }
  }
  if (cuts.empty()) return plate;
  const int columns = static_cast<int>(std::ceil(std::sqrt(static_cast<double>(cuts.size()))));
  const int rows = (static_cast<int>(cuts.size()) + columns - 1) / columns;
  plate.picture = cv::Mat::zeros(rows * thumb_px.height, columns * thumb_px.width, CV_8UC3);
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    const int x = static_cast<int>(i) % columns, y = static_cast<int>(i) / columns;
    cuts[i].copyTo(plate.picture(cv::Rect({x * thumb_px.width, y * thumb_px.height}, thumb_px)));
    const float w = 1.0F / static_cast<float>(columns), h = 1.0F / static_cast<float>(rows);
    plate.thumbs[i].part = {static_cast<float>(x) * w, static_cast<float>(y) * h, w, h};
  }
  return plate;
}

}  // namespace lastlook::app
