// SPDX-License-Identifier: Apache-2.0
// The camera, and the model that judges what it sees.
#include <fmt/format.h>

#include <condition_variable>
#include <mutex>
#include <optional>

#include "kiosk/capture/approved_model.h"
#include "kiosk/capture/camera.h"
#include "kiosk/capture/opinion.h"
#include "kiosk/commands/checkup.h"
#include "kiosk/records/model_queries.h"
#include "kiosk/records/pictures.h"

namespace lastlook::commands {
namespace {

using namespace std::chrono_literals;

struct Judge {
  std::string name;  // how a person finds it
  Result<vision::Model> model;
};

// The model that the kiosk would judge with; none: there is none. Errors: the records or the folder
// cannot be read.
Result<std::optional<Judge>> judge_of(const Patient& patient) {
  if (patient.records) {
    const auto approved = records::approved_models(*patient.records);
    if (!approved) return tl::unexpected(approved.error());
    if (!approved->empty()) {
      const domain::ApprovedModel& newest = approved->front();
      return Judge{newest.model,
                   capture::approved_model(records::Pictures(patient.dir / "pictures"),
                                           newest.model, newest.file)};
    }
  }
  const auto file = capture::model_before_approval(patient.dir);
  if (!file) return tl::unexpected(file.error());
  if (file->empty()) return std::nullopt;
  return Judge{file->filename().string(), vision::load_model(*file)};
}

// How the camera is once it runs or says why not, or when that takes too long.
capture::CameraStatus first_frame(std::shared_ptr<capture::Source> source) {
  using capture::CameraState;
  domain::SystemClock clock;
  std::mutex mutex;
  std::condition_variable changed;
  capture::Camera camera(std::move(source), clock);
  camera.listen([&] { changed.notify_all(); });
  const auto end = std::chrono::steady_clock::now() + 8s;  // opening measures some frames
  auto status = camera.status();
  while (status.state == CameraState::starting && std::chrono::steady_clock::now() < end) {
    std::unique_lock lock(mutex);
    changed.wait_for(lock, 100ms);
    status = camera.status();
  }
  camera.listen({});
  return status;
}

std::string size_text(cv::Size size) {
  return fmt::format("{}x{}", size.width, size.height);
}

}  // namespace

Check check_model(const Patient& patient) {
  const char* what = "model";
  const auto judge = judge_of(patient);
  if (!judge)
    return from_error(what, Outcome::look, judge.error(),
                      "see to the folder and the records first");
  if (!*judge)
    return well(what, "none was taught: the steps are complete without the camera's opinion");
  const auto& [name, model] = **judge;
  const std::string again =
      "approve another one at the kiosk (Teach), or restore the pictures of the newest backup";
  if (!model) return from_error(what, Outcome::broken, model.error(), again);
  if (patient.records) {
    const Status fits = capture::agree(*model, patient.records->master());
    if (!fits)
      return from_error(what, Outcome::broken, fits.error(),
                        "teach the camera what the checklists ask");
  }
  return well(what,
              fmt::format("{}, whole, for pictures of {}", name, size_text(model->picture_px)));
}

Check check_camera(const Patient& patient) {
  const char* what = "camera";
  const std::string plugged =
      "see whether it is plugged in, and whether the kiosk's user is in the group video";
  auto source = capture::source_at(patient.pictures);
  if (!source) return from_error(what, Outcome::broken, source.error(), plugged);
  const capture::CameraStatus status = first_frame(*std::move(source));
  const std::string state(to_word(status.state));
  if (status.state == capture::CameraState::refused && patient.in_use)
    return well(what, fmt::format("not asked for a picture: the kiosk that runs has it, or {}",
                                  status.detail));
  if (status.state == capture::CameraState::wrong_size)
    return broken(what,
                  fmt::format("{} gives pictures of {}, expected {}", patient.pictures,
                              size_text(status.got_px), size_text(status.opened.wanted_px)),
                  "use a camera that gives the size");
  if (status.state != capture::CameraState::running)
    return broken(what,
                  status.detail.empty()
                      ? fmt::format("{}: no picture came in 8 s", patient.pictures)
                      : status.detail,
                  plugged);
  const auto judge = judge_of(patient);
  if (judge && *judge && (*judge)->model && (*judge)->model->picture_px != status.got_px)
    return broken(
        what,
        fmt::format("{} gives pictures of {}, and the model was taught on {}", patient.pictures,
                    size_text(status.got_px), size_text((*judge)->model->picture_px)),
        "use the camera that the model was taught with, or teach it anew");
  return well(what,
              fmt::format("{} gives pictures of {}", patient.pictures, size_text(status.got_px)));
}

}  // namespace lastlook::commands
