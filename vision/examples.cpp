// SPDX-License-Identifier: Apache-2.0
#include "vision/examples.h"

#include <algorithm>
#include <map>
#include <opencv2/imgproc.hpp>

#include "vision/counterfeit.h"
#include "vision/disturb.h"
#include "vision/evidence.h"
#include "vision/features.h"
#include "vision/light_groups.h"
#include "vision/natural.h"
#include "vision/picture_file.h"
#include "vision/tag.h"
#include "vision/turning.h"

namespace lastlook::vision {
namespace {

constexpr int sights_aimed_at = 480;  // per component, disturbed ones included
constexpr double shift_px = 1.6;
constexpr double turn_deg = 0.6;
constexpr double scale_share = 0.006;

struct Seen {
  cv::Mat bgr;
  Alignment alignment;
};

Result<cv::Mat> read_sized(const std::filesystem::path& path, cv::Size size) {
  Result<cv::Mat> picture = read_picture(path);
  if (picture && picture->size() != size)
    return fail(Category::bad_input, path.string() + ": expected " + std::to_string(size.width) +
                                         " x " + std::to_string(size.height) + " pixels, found " +
                                         std::to_string(picture->cols) + " x " +
                                         std::to_string(picture->rows));
  return picture;
}

cv::Mat grey_of(const cv::Mat& bgr) {
  cv::Mat grey;
  cv::cvtColor(bgr, grey, cv::COLOR_BGR2GRAY);
  return grey;
}

// Where every picture lies, and an alignment reference that knows their lights.
std::vector<Alignment> align_all(Gathered& gathered, const std::vector<cv::Mat>& pictures) {
  std::vector<Alignment> alignments;
  std::vector<std::vector<bool>> held;
  for (const cv::Mat& picture : pictures) {
    std::vector<bool> one;
    alignments.push_back(
        align(gathered.alignment, alignment_views(grey_of(picture), picture.size()), &one));
    if (alignments.back().found) held.push_back(std::move(one));
  }
  if (!held.empty()) keep_steady_anchors(gathered.alignment, held);
  return alignments;
}

// Notes each code with the component whose box holds its middle; the smallest box that does.
void note_codes(Gathered& gathered, const TeachingFolder& folder, const cv::Mat& picture,
                const Alignment& alignment, std::size_t index) {
  const cv::Matx23d back = inverse_of(alignment.to_picture);
  for (const TagReading& reading : read_tags(picture, Effort::thorough)) {
    std::vector<cv::Point2f> corners;
    for (const cv::Point2d& p : reading.corners_px)
      corners.emplace_back(static_cast<float>(back(0, 0) * p.x + back(0, 1) * p.y + back(0, 2)),
                           static_cast<float>(back(1, 0) * p.x + back(1, 1) * p.y + back(1, 2)));
    const cv::Rect2d place = cv::boundingRect(corners);
    const cv::Point2d middle(place.x + place.width / 2, place.y + place.height / 2);
    std::optional<std::size_t> holder;
    for (std::size_t c = 0; c < folder.components.size(); ++c) {
      const cv::Rect2d& box = folder.components[c].box_px;
      if (box.contains(middle) &&
          (!holder || box.area() < folder.components[*holder].box_px.area()))
        holder = c;
    }
    if (!holder) continue;
    gathered.codes[*holder][index] = reading.text;
    if (folder.pictures[index].labels[*holder].state == State::present)
      gathered.code_boxes_px[*holder] |= place;
  }
}

// Which components are right at any turn, from their right ones within a variant; and which shine.
void find_turning_and_shiny(Gathered& gathered, const TeachingFolder& folder,
                            const std::vector<PictureViews>& views,
                            const std::vector<Alignment>& alignments) {
  for (std::size_t c = 0; c < gathered.frames.size(); ++c) {
    PatchFrame& frame = gathered.frames[c];
    std::map<std::size_t, std::vector<cv::Mat>> right;
    int shining = 0;
    for (std::size_t i = 0; i < views.size(); ++i) {
      const Label& label = folder.pictures[i].labels[c];
      if (!alignments[i].found || !label.given || label.state != State::present) continue;
      const cv::Mat patch = cut_patch(views[i], frame, alignments[i].to_picture, {1, 1, 1});
      shining += shines(patch, frame.inner) ? 1 : 0;
      cv::Mat view = matching_view(patch);
      dim_highlights(view, box_in_view(frame));
      right[folder.pictures[i].variant].push_back(std::move(view));
    }
    gathered.shiny[c] = shining > 0;
    for (const auto& [variant, ones] : right)
      frame.turns = frame.turns || turns_freely(ones, box_in_view(frame));
  }
}

class Sighting {
 public:
  Sighting(Gathered& gathered, int disturbed, int faults)
      : gathered_(gathered), disturbed_(disturbed), faults_(faults) {}

  void see(const PictureViews& views, const Alignment& alignment, const Gains& gains,
           const LabelledPicture& picture, Sight sight) {
    for (std::size_t c = 0; c < gathered_.frames.size(); ++c) {
      if (!picture.labels[c].given) continue;
      const PatchFrame& frame = gathered_.frames[c];
      cv::RNG rng(0x5eed + 7919 * sight.picture + 104729 * c);
      sight.state = picture.labels[c].state;
      sight.made_up = false;
      sight.disturbed = false;
      const bool there = sight.state == State::present;
      const auto cut = [&] {
        const cv::Matx23d off =
            small_misalignment(rng, frame.region_px, shift_px, turn_deg, scale_share);
        const cv::Mat patch = cut_patch(views, frame, compose(alignment.to_picture, off), gains);
        return there && frame.turns ? with_part_turned(patch, frame.inner, rng.uniform(0.0, 360.0))
                                    : patch;
      };
      add(c, sight, cut_patch(views, frame, alignment.to_picture, gains));
      sight.disturbed = true;
      for (int i = 0; i < disturbed_; ++i) {
        cv::Mat patch = cut();
        if (there && gathered_.shiny[c] && i % 2 == 0) add_highlight(patch, frame.inner, rng);
        disturb(patch, rng);
        add(c, sight, patch);
      }
      sight.made_up = true;
      if (!there && sight.state != State::absent) continue;
      for (int i = 0; i < faults_; ++i) {
        Fault fault = static_cast<Fault>(there ? (i + static_cast<int>(sight.picture)) % fault_kinds
                                         : rng.uniform(0, 2) ? static_cast<int>(Fault::foreign)
                                                             : static_cast<int>(Fault::recoloured));
        if (fault == Fault::turned && frame.turns) continue;
        cv::Mat patch =
            make_fault(cut(), frame.inner, fault, foreign(views, alignment, gains, c, rng), rng);
        Sight fake = sight;
        if (there) fake.plain_row = describe(patch, frame.own);
        disturb(patch, rng);
        fake.state = there && fault == Fault::gone ? State::absent : State::wrong;
        add(c, fake, patch);
      }
    }
  }

 private:
  void add(std::size_t c, Sight sight, const cv::Mat& patch) {
    sight.row = describe(patch, gathered_.frames[c].own);
    sight.view = matching_view(patch, gathered_.frames[c]);
    gathered_.sights[c].push_back(std::move(sight));
  }
  cv::Mat foreign(const PictureViews& views, const Alignment& alignment, const Gains& gains,
                  std::size_t not_this, cv::RNG& rng) {
    const auto n = gathered_.frames.size();
    std::size_t other = static_cast<std::size_t>(rng.uniform(0, static_cast<int>(n)));
    if (other == not_this) other = (other + 1) % n;
    return cut_patch(views, gathered_.frames[other], alignment.to_picture, gains);
  }

  Gathered& gathered_;
  int disturbed_;
  int faults_;
};

}  // namespace

tl::unexpected<Error> stopped() {
  return fail(Category::refused, "teaching was told to stop");
}

Result<Gathered> gather(const TeachingFolder& folder, const Progress& progress,
                        const std::stop_token& stop) {
  Gathered out;
  const Result<cv::Mat> reference = read_sized(folder.reference, folder.picture_px);
  if (!reference) return tl::unexpected(reference.error());
  out.reference = *reference;
  out.alignment = learn_alignment(grey_of(*reference));
  out.thumbnail = make_thumbnail(picture_views(*reference), {1, 0, 0, 0, 1, 0}, folder.picture_px);
  for (const Component& component : folder.components) {
    std::vector<cv::Rect2d> others;
    for (const Component& other : folder.components)
      if (&other != &component) others.push_back(other.box_px);
    out.frames.push_back(patch_frame(component.box_px, others));
  }
  out.shiny.resize(folder.components.size());
  out.sights.resize(folder.components.size());
  out.codes.assign(folder.components.size(), std::vector<std::string>(folder.pictures.size()));
  out.code_boxes_px.resize(folder.components.size());

  std::vector<cv::Mat> pictures;
  for (const LabelledPicture& one : folder.pictures) {
    Result<cv::Mat> picture = read_sized(one.path, folder.picture_px);
    if (!picture) return tl::unexpected(picture.error());
    pictures.push_back(std::move(*picture));
  }
  if (pictures.empty())
    return fail(Category::bad_input, "expected at least one labelled picture to teach from");
  const std::vector<Alignment> alignments = align_all(out, pictures);
  const std::vector<int> groups =
      group_by_light(folder.components, pictures, alignments, folder.picture_px);
  out.light_groups = 1 + *std::max_element(groups.begin(), groups.end());
  const int n = static_cast<int>(pictures.size());
  const int disturbed = std::clamp(sights_aimed_at / (2 * n), 3, 16);
  std::vector<PictureViews> views;
  for (const cv::Mat& picture : pictures) views.push_back(picture_views(picture));
  find_turning_and_shiny(out, folder, views, alignments);
  Sighting sighting(out, disturbed, std::clamp(sights_aimed_at / (2 * n), 4, 24));
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (stop.stop_requested()) return stopped();
    if (progress) progress(static_cast<int>(i), n);
    if (!alignments[i].found) {
      out.notes.push_back(folder.pictures[i].file + ": the unit was not found in it; skipped");
      continue;
    }
    note_codes(out, folder, pictures[i], alignments[i], i);
    Sight sight;
    sight.picture = i;
    sight.variant = folder.pictures[i].variant;
    sight.group = groups[i];
    sighting.see(views[i], alignments[i],
                 light_gains(out.thumbnail, views[i], alignments[i].to_picture, folder.picture_px),
                 folder.pictures[i], sight);
  }
  for (std::size_t c = 0; c < out.sights.size(); ++c)
    drop_likely_right(out.sights[c], out.frames[c]);
  return out;
}

}  // namespace lastlook::vision
