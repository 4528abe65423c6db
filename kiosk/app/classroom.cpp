// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/classroom.h"

#include <fmt/format.h>

#include <fstream>
#include <iterator>
#include <utility>

#include "kiosk/app/contact_sheet.h"
#include "kiosk/capture/approved_model.h"
#include "kiosk/flows/approving.h"
#include "kiosk/records/model_queries.h"
#include "vision/model_file.h"
#include "vision/picture_file.h"
#include "vision/teach.h"

namespace lastlook::app {

namespace fs = std::filesystem;

namespace {

Result<std::string> bytes_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::string bytes(std::istreambuf_iterator<char>(in), {});
  if (!in || bytes.empty()) return fail(Category::io, file.string() + ": cannot be read");
  return bytes;
}

Result<Classroom::Folder> read_folder(const fs::path& folder, const domain::Master& master) {
  auto shots = capture::read_shots(folder, master);
  if (!shots) return tl::unexpected(shots.error());
  Classroom::Folder now{std::move(*shots), {}};
  if (!now.shots.reference) return now;
  auto reference = vision::read_picture(folder / "reference.jpg");
  if (!reference) return tl::unexpected(reference.error());
  now.reference = std::move(*reference);
  return now;
}

Result<Classroom::Taught> learn(const fs::path& folder, const vision::Progress& progress,
                                const std::stop_token& stop) {
  const auto read = vision::read_teaching_folder(folder);
  if (!read) return tl::unexpected(read.error());
  auto result = vision::teach(*read, progress, stop);
  if (!result) return tl::unexpected(result.error());
  Classroom::Taught taught{result->model, contact_sheet(*read, *result), {}, {}};
  auto plate = contact_plate(*read, result->model, taught.sheet);
  if (!plate) return tl::unexpected(plate.error());
  taught.plate = std::move(plate->picture);
  taught.thumbs = std::move(plate->thumbs);
  return taught;
}

}  // namespace

Classroom::Classroom(const Parts& parts) : parts_(parts) {
  facts_.next_picture = static_cast<bool>(parts_.next_picture);
  gather_models();
  show_facts();
}

Classroom::~Classroom() {
  *alive_ = false;
  lesson_.request_stop();
}

void Classroom::touch(const flows::TeachEvent& event) {
  if (!parts_.desk.facts().locked) handle(event);
}

void Classroom::handle(const flows::TeachEvent& event) {
  take(flows::teach(now_, event, parts_.station.state()));
}

void Classroom::follow(const screens::Facts& facts) {
  const flows::Inspection& state = *facts.inspection;
  const bool may = state.role == domain::Role::quality_engineer && !state.person.empty();
  if (now_.open && !may) return handle(flows::LeaveTeaching{});
  // A list that could not be read is asked for again when teaching is opened, not at each change:
  // saying so is one.
  if (model_in_use() != listed_) {
    gather_models();
    show_facts();
  }
}

void Classroom::take(const flows::TeachOutcome& outcome) {
  const std::string trouble_before = now_.trouble;
  now_ = outcome.teaching;
  if (!now_.sheet) taught_.reset();
  if (outcome.notice) parts_.desk.tell(*outcome.notice);
  if (!now_.trouble.empty() && now_.trouble != trouble_before) tell(now_.trouble);
  show_facts();
  if (outcome.work) std::visit([this](const auto& it) { work(it); }, *outcome.work);
}

void Classroom::tell(const std::string& trouble) {
  parts_.desk.tell((*parts_.desk.facts().say)("teach.trouble", {trouble}));
}

void Classroom::show_facts() {
  facts_.at = now_;
  parts_.desk.show_teaching(facts_);
}

void Classroom::show(std::uintptr_t reference, std::uintptr_t sheet) {
  facts_.reference = plates_.reference.empty() ? 0 : reference;
  facts_.sheet = plates_.sheet.empty() ? 0 : sheet;
  show_facts();
}

std::string Classroom::model_in_use() const {
  const auto& model = parts_.station.state().model;
  return model ? model->model : "";
}

void Classroom::gather_models() {
  listed_ = model_in_use();
  auto models = records::approved_models(parts_.station.records());
  if (!models) return tell(models.error().message);
  facts_.models = std::move(*models);
}

// --- the folder --------------------------------------------------------------------------------

// What is on disk counts, not what was meant to be: half a change may be there.
void Classroom::change_folder(std::function<Status(capture::TeachingShots&)> change,
                              std::int64_t frame) {
  struct Changed {
    Status done;
    Result<Folder> now;
  };
  tasks_.run(
      parts_.main,
      [change = std::move(change), shots = shots_, folder = parts_.folder,
       master = parts_.station.state().master]() mutable -> Result<Changed> {
        const auto changing = [&] { return change(shots); };
        const auto reading = [&] { return read_folder(folder, master); };
        const Status done = guarded(changing);
        return Changed{done, guarded(reading)};
      },
      [this, frame, alive = alive_](const Result<Changed>& changed) {
        if (!*alive) return;
        if (!changed) return handle(flows::WorkFailed{changed.error().message, true});
        const auto& [done, now] = *changed;
        if (now) show_folder(*now, frame, done.has_value());
        if (!done || !now)
          handle(flows::WorkFailed{done ? now.error().message : done.error().message, !now});
      });
}

// A photograph that did not come into the folder may be taken again, of the same frame.
void Classroom::show_folder(const Folder& now, std::int64_t frame, bool done) {
  const bool taken = frame > 0 && (done || now.shots.shots.size() > shots_.shots.size());
  if (taken) taken_frame_ = frame;
  shots_ = now.shots;
  plates_.reference = now.reference;
  ++plates_.changes;
  if (!now.reference.empty())
    facts_.aspect = static_cast<float>(now.reference.cols) / static_cast<float>(now.reference.rows);
  handle(flows::FolderIs{shots_.reference, shots_.marks, shots_.shots, taken});
  if (taken && parts_.next_picture) parts_.next_picture();
}

void Classroom::work(const flows::ReadFolder&) {
  gather_models();
  change_folder([](capture::TeachingShots&) { return Status(); });
}

// A picture that was taken already is not taken twice: the next one is still on its way.
capture::FramePtr Classroom::new_picture() {
  capture::FramePtr frame = parts_.newest();
  if (!frame || frame->number == taken_frame_) {
    handle(flows::WorkFailed{(*parts_.desk.facts().say)("teach.no_new_picture")});
    return nullptr;
  }
  return frame;
}

void Classroom::work(const flows::KeepReference&) {
  const capture::FramePtr frame = new_picture();
  if (!frame) return;
  change_folder(
      [folder = parts_.folder, master = parts_.station.state().master,
       frame](capture::TeachingShots& shots) {
        return capture::keep_reference(folder, shots, master, frame->picture);
      },
      frame->number);
}

void Classroom::work(const flows::KeepShot& it) {
  const capture::FramePtr frame = new_picture();
  if (!frame) return;
  change_folder(
      [folder = parts_.folder, master = parts_.station.state().master, frame,
       shot = it.shot](capture::TeachingShots& shots) {
        return capture::keep_shot(folder, shots, master, frame->picture, shot);
      },
      frame->number);
}

void Classroom::work(const flows::KeepLabels& it) {
  change_folder([folder = parts_.folder, master = parts_.station.state().master,
                 it](capture::TeachingShots& shots) {
    return capture::keep_labels(folder, shots, master, it.marks, it.shots);
  });
}

void Classroom::work(const flows::SetFolderAside&) {
  change_folder([folder = parts_.folder](capture::TeachingShots& shots) -> Status {
    if (Status done = capture::set_aside(folder); !done) return done;
    shots = {};
    return {};
  });
}

// --- learning ----------------------------------------------------------------------------------

void Classroom::work(const flows::LearnFolder& it) {
  lesson_ = std::stop_source();
  const auto progress = [this, lesson = it.lesson, alive = alive_](int done, int total) {
    parts_.main.post([this, lesson, done, total, alive] {
      if (*alive) handle(flows::LearnedSome{lesson, done, total});
    });
  };
  tasks_.run(
      parts_.main,
      [folder = parts_.folder, progress, stop = lesson_.get_token()] {
        return learn(folder, progress, stop);
      },
      [this, lesson = it.lesson, alive = alive_](const Result<Taught>& taught) {
        if (*alive) learned(lesson, taught);
      });
}

void Classroom::learned(std::int64_t lesson, const Result<Taught>& taught) {
  if (!taught) return handle(flows::NotLearned{lesson, taught.error().message});
  if (now_.step != flows::Teaching::Step::learn || lesson != now_.lesson) return;
  plates_.sheet = taught->plate;
  ++plates_.changes;
  facts_.thumbs = taught->thumbs;
  taught_ = *taught;
  handle(flows::Learned{lesson, taught->sheet});
}

void Classroom::work(const flows::ForgetLesson&) {
  lesson_.request_stop();
}

// --- approving ---------------------------------------------------------------------------------

// The flow is asked before anything is written, and once more when the entry is made: the file is
// on disk before the entry that names it, and the entry before the model judges.
void Classroom::work(const flows::KeepModel& it) {
  if (auto refused = flows::teaching_refused(parts_.station.state())) {
    handle(flows::WorkFailed{});
    return parts_.desk.tell(*refused);
  }
  if (!taught_) return handle(flows::WorkFailed{"what was learned is not at hand any more"});
  const bool first = !parts_.station.state().model;
  const std::string judges = first ? parts_.desk.facts().camera.model : "";
  tasks_.run(
      parts_.main,
      [&pictures = parts_.pictures, approval = it.approval, model = taught_->model, judges,
       before = parts_.model_file()]() -> Result<domain::ModelApproved> {
        domain::ModelApproved kept = approval;
        auto file = pictures.keep(vision::model_bytes(model));
        if (!file) return tl::unexpected(file.error());
        kept.file = std::move(*file);
        kept.before = judges;
        if (judges.empty()) return kept;
        // The one that judged without an approval: so that it can be gone back to.
        const auto bytes = bytes_of(before);
        if (!bytes) return tl::unexpected(bytes.error());
        const auto known = vision::model_from_bytes(*bytes, before.string());
        if (!known) return tl::unexpected(known.error());
        if (known->id != judges)
          return fail(Category::damaged,
                      fmt::format("{}: holds {}, and {} judges; start the program again",
                                  before.string(), known->id, judges));
        auto before_file = pictures.keep(*bytes);
        if (!before_file) return tl::unexpected(before_file.error());
        kept.before_file = std::move(*before_file);
        return kept;
      },
      [this, by = it.by, alive = alive_](const Result<domain::ModelApproved>& kept) {
        if (!*alive) return;
        if (!kept) return handle(flows::WorkFailed{kept.error().message});
        change_model(flows::ApproveModel{*kept, by}, kept->model);
      });
}

void Classroom::work(const flows::FindModel& it) {
  const flows::GoBackToModel back{it.model, it.why, it.by};
  const std::string file = flows::file_of(facts_.models, it.model);
  if (file.empty()) return change_model(back, it.model);  // the flow says why not
  tasks_.run(
      parts_.main,
      [&pictures = parts_.pictures, model = it.model, file] {
        return capture::approved_model(pictures, model, file);
      },
      [this, back, alive = alive_](const Result<vision::Model>& found) {
        if (!*alive) return;
        if (!found) return handle(flows::WorkFailed{found.error().message});
        change_model(back, back.model);
      });
}

void Classroom::change_model(const flows::Event& event, const std::string& to) {
  parts_.desk.handle(event);
  if (model_in_use() != to) return handle(flows::WorkFailed{});
  gather_models();
  handle(flows::ModelInUse{});
  parts_.desk.tell((*parts_.desk.facts().say)("teach.now_in_use", {to}));
}

}  // namespace lastlook::app
