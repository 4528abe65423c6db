// SPDX-License-Identifier: Apache-2.0
#include "vision/teach.h"

#include <algorithm>
#include <mutex>

#include "vision/examples.h"
#include "vision/health.h"
#include "vision/lesson.h"
#include "vision/looks.h"
#include "vision/model_file.h"
#include "vision/teach_report.h"

namespace lastlook::vision {
namespace {

// "Is the right component in place?" for one look. Right ones of another look are wrong here; a
// wrong one of another variant may be right here, so it is left out.
std::vector<Lesson> lessons_right(const std::vector<Sight>& sights, const Looks& looks,
                                  std::size_t look) {
  std::vector<Lesson> lessons;
  for (const Sight& s : sights) {
    const bool mine = looks.look_of[s.variant] == look || looks.count == 1;
    const bool right = s.state == State::present && !s.made_up;
    if (!mine && (s.state == State::wrong || s.made_up)) continue;
    lessons.push_back({&s, right && mine});
  }
  return lessons;
}

// "Is its place empty?" Emptiness is made up only where no real one was given.
std::vector<Lesson> lessons_empty(const std::vector<Sight>& sights, bool real) {
  std::vector<Lesson> lessons;
  for (const Sight& s : sights) {
    if (s.state == State::absent && s.made_up && real) continue;
    lessons.push_back({&s, s.state == State::absent});
  }
  return lessons;
}

struct Both {
  TaughtComponent taught;
  std::vector<HeldOut> held_out;  // of "is it right?"
};

Result<Both> teach_component(const TeachingFolder& folder, const Gathered& gathered,
                             std::size_t c) {
  Both out;
  const std::vector<Sight>& sights = gathered.sights[c];
  out.taught.frame = gathered.frames[c];
  const Looks looks = find_looks(sights, folder.variants, c, gathered.codes[c]);
  out.taught.look_of = looks.look_of;
  out.taught.code_of = looks.code_of;
  if (const cv::Rect2d& code = gathered.code_boxes_px[c]; !code.empty()) {
    // Room for a tag that sits askew, and for the quiet zone that a code needs around it.
    const double room = 0.3 * std::max(code.width, code.height);
    out.taught.code_box_px = {code.x - room, code.y - room, code.width + 2 * room,
                              code.height + 2 * room};
  }
  for (std::size_t look = 0; look < looks.count; ++look) {
    Result<Learned> learned =
        learn(lessons_right(sights, looks, look), gathered.frames[c], folder.components.size());
    if (!learned) return tl::unexpected(learned.error());
    if (learned->question.templates.empty())
      return fail(Category::bad_input, "its place is flat, there is nothing to recognise it by");
    out.taught.right.push_back(std::move(learned->question));
    out.held_out.insert(out.held_out.end(), learned->held_out.begin(), learned->held_out.end());
  }
  const bool real = std::any_of(sights.begin(), sights.end(), [](const Sight& s) {
    return s.state == State::absent && !s.made_up;
  });
  Result<Learned> learned =
      learn(lessons_empty(sights, real), gathered.frames[c], folder.components.size());
  if (learned) out.taught.empty = std::move(learned->question);
  out.taught.empty.real = learned && real;
  return out;
}

}  // namespace

Result<TeachResult> teach(const TeachingFolder& folder, const Progress& progress,
                          const std::stop_token& stop) {
  TeachResult result;
  result.notes = folder.notes;
  const std::size_t n = folder.components.size();
  const int pictures = static_cast<int>(folder.pictures.size());
  const int total = pictures + static_cast<int>(n);
  const auto gathering = [&](int done, int) {
    if (progress) progress(done, total);
  };
  Result<Gathered> gathered = gather(folder, gathering, stop);
  if (!gathered) return tl::unexpected(gathered.error());
  result.notes.insert(result.notes.end(), gathered->notes.begin(), gathered->notes.end());
  result.light_groups = gathered->light_groups;

  auto taught = std::make_shared<Taught>();
  taught->alignment = gathered->alignment;
  taught->thumbnail = gathered->thumbnail;
  learn_health(*taught, gathered->reference);
  std::vector<Result<Both>> both(n);
  std::mutex telling;
  int learned = 0;
  cv::parallel_for_({0, static_cast<int>(n)}, [&](const cv::Range& range) {
    for (int c = range.start; c < range.end && !stop.stop_requested(); ++c) {
      both[static_cast<std::size_t>(c)] =
          teach_component(folder, *gathered, static_cast<std::size_t>(c));
      const std::lock_guard lock(telling);
      if (progress) progress(pictures + ++learned, total);
    }
  });
  if (stop.stop_requested()) return stopped();
  for (std::size_t c = 0; c < n; ++c) {
    if (!both[c])
      return fail(both[c].error().category,
                  "component " + folder.components[c].name + ": " + both[c].error().message);
    result.components.push_back(report_on(folder, c, both[c]->held_out, both[c]->taught));
    taught->components.push_back(std::move(both[c]->taught));
  }
  result.model.picture_px = folder.picture_px;
  result.model.components = folder.components;
  result.model.variants = folder.variants;
  result.model.taught = std::move(taught);
  result.model.id = model_id(result.model);
  return result;
}

}  // namespace lastlook::vision
