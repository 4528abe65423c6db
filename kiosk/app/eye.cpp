// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/eye.h"

#include <algorithm>
#include <vector>

#include "kiosk/capture/approved_model.h"
#include "kiosk/domain/tag_code.h"
#include "vision/model.h"

namespace lastlook::app {

namespace fs = std::filesystem;

namespace {

// What the camera is to judge now; no look: nothing.
capture::Asked asked_in(const flows::Inspection& state) {
  if (state.person.empty()) return {};
  if (const auto& shown = state.challenge.open)
    return {shown->showing, shown->variant, shown->part};
  if (!state.open || state.open->variant.empty()) return {};
  return {state.open->opened.look, state.open->variant, state.open->opened.serial};
}

}  // namespace

Result<std::unique_ptr<Eye>> Eye::open(const Parts& parts, const fs::path& pictures,
                                       const fs::path& models) {
  std::unique_ptr<Eye> eye(new Eye(parts));
  auto source = capture::source_at(pictures);
  if (!source) return tl::unexpected(source.error());
  eye->folder_ = std::dynamic_pointer_cast<capture::FolderSource>(*source);
  eye->camera_ = std::make_shared<capture::Camera>(*source, parts.clock);
  capture::Assist::Callbacks callbacks;
  callbacks.assistance = [&eye = *eye](capture::Assistance assistance) {
    eye.parts_.main.post(
        [&eye, assistance = std::move(assistance)]() mutable { eye.take(std::move(assistance)); });
  };
  callbacks.codes = [&eye = *eye](std::vector<std::string> codes) {
    eye.parts_.main.post([&eye, codes = std::move(codes)] { eye.offer(codes); });
  };
  eye->assist_ = std::make_unique<capture::Assist>(eye->camera_, std::move(callbacks));
  // Without a usable model the steps are complete all the same; the screen says why.
  if (const auto& approved = parts.desk.facts().inspection->model) {
    eye->approved_ = approved->model;
    eye->model_file_ = parts.pictures.path_of(approved->file);
    eye->use(capture::approved_model(parts.pictures, approved->model, approved->file));
  } else if (const auto file = capture::model_before_approval(models); !file) {
    eye->facts_.model_trouble = file.error().message;
  } else if (!file->empty()) {
    eye->model_file_ = *file;
    eye->use(vision::load_model(*file));
  }
  eye->camera_->listen([&eye = *eye] {
    eye.assist_->frame_arrived();
    eye.parts_.main.post([] {});
  });
  eye->facts_.state = "starting";
  parts.desk.show_camera(eye->facts_);
  parts.desk.use_camera(pictures.filename().string());
  eye->follow(parts.desk.facts());
  return eye;
}

Eye::~Eye() {
  // Its listener calls the assist, the assist looks at the camera: the listener goes first.
  if (camera_) camera_->listen([] {});
}

// From now on this model judges, or none where it cannot be used.
void Eye::use(const Result<vision::Model>& model) {
  Status used = model ? assist_->use(*model, parts_.desk.facts().inspection->master)
                      : Status(tl::unexpected(model.error()));
  facts_.model = used ? model->id : "";
  facts_.model_trouble = used ? "" : used.error().message;
  parts_.desk.show_camera(facts_);
}

// Another model was approved: it is read elsewhere, and until it is there no opinion counts.
void Eye::follow_approval(const flows::Inspection& state) {
  if (!state.model || state.model->model == approved_) return;
  approved_ = state.model->model;
  model_file_ = parts_.pictures.path_of(state.model->file);
  parts_.tasks.run(
      parts_.main,
      [&pictures = parts_.pictures, approved = *state.model] {
        return capture::approved_model(pictures, approved.model, approved.file);
      },
      [this, approved = state.model->model](const Result<vision::Model>& model) {
        if (approved != approved_) return;
        use(model);
        look_again();
      });
}

void Eye::follow(const screens::Facts& facts) {
  const flows::Inspection& state = *facts.inspection;
  follow_approval(state);
  const capture::Asked ask = asked_in(state);
  const bool busy = !ask.look.empty() || facts.proof.judged;
  const bool watch = !state.open && !state.challenge.open && !busy && !state.person.empty();
  if (watch != watching_) assist_->watch_codes(watch);
  watching_ = watch;
  // The unit has left the nest; in a folder of pictures the next one comes.
  if (busy_ && !busy && folder_) folder_->next();
  busy_ = busy;
  if (ask.look == asked_.look) return;
  asked_ = ask;
  if (ask.look.empty()) return assist_->drop();
  look_again();
}

void Eye::look_again() {
  if (asked_.look.empty()) return;
  if (!facts_.model.empty())
    assist_->ask(asked_);
  else
    parts_.desk.opinion_withheld(asked_.look, {"no_model", {}});
}

void Eye::next_picture() {
  if (folder_) folder_->next();
}

void Eye::offer(const std::vector<std::string>& codes) {
  const domain::Master& master = parts_.desk.facts().inspection->master;
  const bool one = codes.size() == 1 && domain::read_code(master, codes.front()).has_value();
  facts_.offered_code = one ? codes.front() : "";
  parts_.desk.show_camera(facts_);
}

void Eye::take(capture::Assistance assistance) {
  if (auto* withheld = std::get_if<capture::Withheld>(&assistance))
    return parts_.desk.opinion_withheld(withheld->look,
                                        {std::string(to_word(withheld->why)), withheld->codes});
  keep_and_tell(std::move(std::get<capture::Given>(assistance)));
}

void Eye::keep_and_tell(capture::Given given) {
  // The picture is on disk before the entry that names it.
  const auto shared = std::make_shared<capture::Given>(std::move(given));
  parts_.tasks.run(
      parts_.main,
      [&pictures = parts_.pictures, shared]() -> Status {
        const auto keep = [&](const std::vector<unsigned char>& bytes, std::string& name) {
          if (bytes.empty()) return Status();
          return pictures.keep(bytes).map([&](const std::string& hash) { name = hash; });
        };
        return keep(shared->jpeg, shared->opinion.picture).and_then([&] {
          return keep(shared->png, shared->opinion.overlay);
        });
      },
      [this, shared](const Status& kept) { tell(*shared, kept); });
}

void Eye::tell(const capture::Given& given, const Status& kept) {
  overlay_.show_soft(given.overlay);
  facts_.overlay = given.overlay.empty() ? 0 : overlay_.id();
  parts_.desk.show_camera(facts_);
  parts_.desk.opinion_arrived({given.opinion, given.tag_serial});
  if (!kept) parts_.desk.picture_not_kept(kept.error());
}

bool Eye::show_newest() {
  const capture::FramePtr frame = camera_->latest();
  const capture::CameraStatus status = camera_->status();
  const std::string state(to_word(status.state));
  const bool shows = frame && frame->number != shown_frame_;
  if (shows) {
    texture_.show(frame->picture);
    shown_frame_ = frame->number;
  }
  if (!shows && state == facts_.state && status.detail == facts_.detail) return false;
  const bool good = state == "running" && frame;
  facts_.state = state;
  facts_.detail = status.detail;
  facts_.texture = good ? texture_.id() : 0;
  facts_.aspect = texture_.aspect();
  parts_.desk.show_camera(facts_);
  return true;
}

std::chrono::milliseconds Eye::rests_for() const {
  return camera_->status_holds_for();
}

}  // namespace lastlook::app
