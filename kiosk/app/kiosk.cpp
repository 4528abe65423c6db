// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/kiosk.h"

#include <fmt/format.h>
#include <signal.h>

#include <algorithm>
#include <optional>

#include "kiosk/app/classroom.h"
#include "kiosk/app/darkness.h"
#include "kiosk/app/desk.h"
#include "kiosk/app/eye.h"
#include "kiosk/app/heartbeat.h"
#include "kiosk/app/incoming.h"
#include "kiosk/app/kept_picture.h"
#include "kiosk/app/pacer.h"
#include "kiosk/app/sample_pictures.h"
#include "kiosk/app/sound.h"
#include "kiosk/app/trace.h"
#include "kiosk/app/window.h"
#include "kiosk/commands/places.h"
#include "kiosk/screens/focus.h"
#include "kiosk/screens/scaled.h"
#include "kiosk/screens/screen_set.h"

namespace lastlook::app {
namespace {

Result<WindowOptions> window_options(const commands::KioskOptions& options,
                                     const text::Languages& languages,
                                     const domain::Master& master) {
  WindowOptions window;
  window.mm_per_px = static_cast<float>(options.mm_per_px);
  window.text_scale = static_cast<float>(options.text_scale_percent) / 100;
  window.monitor = options.monitor;
  // Names from the master data are read too.
  window.characters = master.product;
  for (const auto& [code, say] : languages.all()) window.characters += say.characters();
  for (const auto& component : master.components) window.characters += component.name;
  for (const auto& defect : master.defects) window.characters += defect.name;
  for (const auto& variant : master.variants) {
    window.characters += variant.id + variant.body;
    for (const auto& step : variant.checklist) window.characters += step.instruction;
  }
  if (options.window.empty()) return window;
  char end = 0;
  const int read =
      std::sscanf(options.window.c_str(), "%dx%d%c", &window.width_px, &window.height_px, &end);
  if (read != 2 || window.width_px < 800 || window.height_px < 480)
    return fail(Category::bad_input, fmt::format("--window {}: expected WIDTHxHEIGHT, at least "
                                                 "800x480, for example 1280x800",
                                                 options.window));
  return window;
}

// systemd, or a person at a terminal, asks it to end. What waits for events wakes by the signal.
volatile sig_atomic_t asked_to_end = 0;

void end_on_signals() {
  struct sigaction ends {};
  ends.sa_handler = [](int) { asked_to_end = 1; };
  for (const int signal : {SIGTERM, SIGINT}) sigaction(signal, &ends, nullptr);
}

// Everything that is open while the kiosk runs, in the order in which it opens.
class Kiosk {
 public:
  Status open(const commands::KioskOptions& options);
  void run();

 private:
  Status start_sending(const commands::KioskOptions& options);
  void open_classroom(const commands::KioskOptions& options);
  void show_plates();
  void show_study_picture();
  void show_unit_picture();
  void show_samples();
  void follow_changes();
  void take_codes();
  bool may_close();
  void answer_close();
  void draw();
  void draw_dark();
  screens::Requests draw_with(const screens::Pointer& pointer, const std::string& by_key);
  void tick();
  void look_for_room();
  void check_file();
  void handle(const screens::Request& request);

  std::filesystem::path dir_;
  domain::SystemClock clock_;
  std::unique_ptr<records::Records> records_;
  std::unique_ptr<records::People> people_;
  std::unique_ptr<flows::Station> station_;
  std::optional<records::Pictures> pictures_;
  std::optional<text::Languages> languages_;
  std::unique_ptr<Window> window_;
  MainQueue main_{[] { Window::wake(); }};
  std::optional<Desk> desk_;
  std::unique_ptr<Eye> eye_;
  std::optional<Classroom> classroom_;
  PictureTexture reference_, sheet_;  // of what is taught
  PictureTexture study_picture_;
  std::string study_picture_shown_;  // its hash
  int plates_seen_ = 0;
  PictureTexture unit_picture_;  // of the review
  int unit_picture_seen_ = 0;
  SamplePictures samples_;  // of the limits
  std::unique_ptr<sync::Courier> courier_;
  std::optional<Incoming> incoming_;
  TaskThread tasks_;      // ends before what its tasks use
  TaskThread measuring_;  // of the disk: so much of it that nobody's sign-in should wait
  screens::ScreenSet screens_;
  screens::Touch touch_;
  screens::Focus focus_;
  const screens::Theme* theme_ = nullptr;
  Pacer pacer_;
  Heartbeat heart_;
  Darkness darkness_;
  std::unique_ptr<Sound> sound_;  // null: off
  std::optional<ToneChooser> tones_;
  bool may_be_closed_ = false, closing_ = false;
  Trace trace_;
  int changes_seen_ = -1;
  std::chrono::milliseconds next_tick_{0};
  std::chrono::milliseconds next_room_{0};
  std::optional<std::chrono::steady_clock::time_point> answered_touch_;
};

Status Kiosk::open(const commands::KioskOptions& options) {
  dir_ = options.dir;
  may_be_closed_ = options.may_be_closed;
  darkness_ = Darkness(std::chrono::minutes(options.dark_after_min));
  auto records = records::Records::open(options.dir, records::Check::beside);
  if (!records) return tl::unexpected(records.error());
  records_ = std::move(*records);
  auto people = records::People::open(options.dir);
  if (!people) return tl::unexpected(people.error());
  people_ = std::move(*people);
  auto station = flows::Station::open(*records_, clock_);
  if (!station) return tl::unexpected(station.error());
  station_ = std::move(*station);
  pictures_.emplace(std::filesystem::path(options.dir) / "pictures");
  const auto strings = commands::beside_program("assets/strings");
  if (!strings) return tl::unexpected(strings.error());
  auto languages = text::Languages::load(*strings, options.language);
  if (!languages) return tl::unexpected(languages.error());
  languages_ = std::move(*languages);
  const auto window = window_options(options, *languages_, station_->state().master);
  if (!window) return tl::unexpected(window.error());
  auto opened = Window::open(*window);
  if (!opened) return tl::unexpected(opened.error());
  window_ = std::move(*opened);
  theme_ = options.theme == "dark" ? &screens::dark_theme() : &screens::light_theme();
  desk_.emplace(
      Desk::Parts{*station_, *people_, clock_, *languages_, main_, tasks_, options.left_handed});
  tones_.emplace(desk_->facts());
  if (options.sound == "on") sound_ = std::make_unique<Loudspeaker>();
  check_file();
  if (Status sending = start_sending(options); !sending) return sending;
  incoming_.emplace(
      Incoming::Parts{std::filesystem::path(options.dir) / "incoming", main_,
                      [this](const text::ResultFile& file) { return desk_->take_results(file); },
                      [this](const std::string& why) { desk_->results_refused(why); }});
  if (options.pictures.empty()) return {};
  auto eye = Eye::open({*desk_, clock_, main_, tasks_, *pictures_}, options.pictures, options.dir);
  if (eye) {
    eye_ = std::move(*eye);
    open_classroom(options);
  } else {  // the steps are complete without it; the screen says why there is none
    screens::CameraFacts none;
    none.state = "no_source";
    none.detail = eye.error().message;
    desk_->show_camera(none);
  }
  return {};
}

void Kiosk::open_classroom(const commands::KioskOptions& options) {
  const auto next =
      eye_->is_folder() ? std::function<void()>([this] { eye_->next_picture(); }) : nullptr;
  classroom_.emplace(Classroom::Parts{
      *desk_, *station_, main_, *pictures_, std::filesystem::path(options.dir) / "teaching",
      [this] { return eye_->newest(); }, [this] { return eye_->model_file(); }, next});
}

// What was photographed and learned, on the graphics side.
void Kiosk::show_plates() {
  if (!classroom_ || classroom_->plates().changes == plates_seen_) return;
  plates_seen_ = classroom_->plates().changes;
  reference_.show(classroom_->plates().reference);
  sheet_.show(classroom_->plates().sheet);
  classroom_->show(reference_.id(), sheet_.id());
  follow_changes();
}

// The item of a study that is a picture.
void Kiosk::show_study_picture() {
  const std::string hash = desk_->study().picture();
  if (hash == study_picture_shown_) return;
  study_picture_shown_ = hash;
  if (hash.empty()) return desk_->show_study_picture(0, 1);
  const auto picture = kept_picture(*pictures_, hash);
  if (!picture) return desk_->show_study_picture(0, 1);  // the screen says so
  study_picture_.show(*picture);
  desk_->show_study_picture(study_picture_.id(), study_picture_.aspect());
}

void Kiosk::show_unit_picture() {
  ReviewDesk& review = desk_->review();
  if (review.plate().changes == unit_picture_seen_) return;
  unit_picture_seen_ = review.plate().changes;
  unit_picture_.show(review.plate().picture);
  review.show(unit_picture_.id(), unit_picture_.aspect());
  follow_changes();
}

void Kiosk::show_samples() {
  if (!samples_.follow(station_->state().master)) return;
  desk_->show_samples(samples_.shown());
  follow_changes();
}

// The line never waits for it: a store that is away is said on the screen and tried again.
Status Kiosk::start_sending(const commands::KioskOptions& options) {
  if (options.send_to.empty()) return {};
  if (Status known = sync::check_address(options.send_to); !known) return known;
  const auto open_store = [to = options.send_to] { return sync::open_plant_store(to, true); };
  const auto changed = [this](const sync::CourierStatus& status) {
    main_.post([this, status] { desk_->show_sending(status); });
  };
  const auto master = [this](const domain::MasterAdopted& newer) {
    main_.post([this, newer] { desk_->revision_offered(newer); });
  };
  courier_ = std::make_unique<sync::Courier>(sync::Courier::Parts{.folder = options.dir,
                                                                  .open = open_store,
                                                                  .clock = clock_,
                                                                  .changed = changed,
                                                                  .master = master});
  return {};
}

void Kiosk::run() {
  end_on_signals();
  darkness_.woken(Window::now());
  while (!closing_ && asked_to_end == 0) {
    const auto now = Window::now();
    const bool happened = window_->wait(std::min(pacer_.wait(now), heart_.rests_for(now)));
    heart_.beat(Window::now());
    const bool ran = main_.run();
    take_codes();
    if (window_->close_asked()) answer_close();
    if (Window::now() >= next_tick_) tick();
    if (happened || window_->pointer().more()) pacer_.event();
    if (ran) pacer_.preview(Window::now());
    follow_changes();
    if (pacer_.draws_now(Window::now())) draw();
    heart_.ready();
    pacer_.wake_at(next_tick_);
    if (const auto at = window_->keys().next_at()) pacer_.wake_at(*at);
    if (!darkness_.is_dark(Window::now())) pacer_.wake_at(darkness_.falls_at());
    if (eye_) pacer_.wake_at(Window::now() + eye_->rests_for());
  }
}

// One that lights the screen up does nothing else: nobody saw what it would have answered.
void Kiosk::take_codes() {
  for (const std::string& code : window_->take_codes())
    if (!darkness_.woken(Window::now())) desk_->scanned(code);
}

// Behind the kiosk is whatever the machine has; only who looks after the machine gets there.
bool Kiosk::may_close() {
  const screens::Facts& facts = desk_->facts();
  const flows::Inspection& state = *facts.inspection;
  return may_be_closed_ ||
         (!state.person.empty() && !facts.locked && state.role == domain::Role::administrator);
}

void Kiosk::answer_close() {
  if (may_close())
    closing_ = true;
  else
    desk_->tell((*desk_->facts().say)("kiosk.stays_open"));
}

void Kiosk::follow_changes() {
  if (desk_->changes() == changes_seen_) return;
  changes_seen_ = desk_->changes();
  if (eye_) eye_->follow(desk_->facts());
  if (classroom_) classroom_->follow(desk_->facts());
  if (const auto tone = tones_->next(desk_->facts()); tone && sound_) sound_->play(*tone);
  // What was under the finger is not there any more.
  if (screens_.update(desk_->facts())) {
    touch_.forget();
    focus_.forget();
  }
  pacer_.event();
}

void Kiosk::draw() {
  screens::Pointer pointer = window_->pointer().next_frame();
  std::optional<screens::Key> key = window_->keys().next(Window::now());
  if (pointer.down || pointer.released || key) desk_->touched();
  // A touch that lights the screen up was never put down on anything.
  if ((pointer.pressed || key) && darkness_.woken(Window::now())) {
    pointer.pressed = false;
    key.reset();
  }
  if (pointer.pressed) focus_.forget();
  if (key) pacer_.event();
  const std::string by_key = key ? focus_.pressed(*key) : std::string();
  if (darkness_.is_dark(Window::now())) return draw_dark();
  if (key == screens::Key::help) {  // whether the screen has a target for it or not
    handle(flows::Event(flows::CallHelp{}));
    follow_changes();
  }
  if (eye_ && eye_->show_newest()) follow_changes();
  show_plates();
  show_study_picture();
  show_unit_picture();
  show_samples();
  const screens::Requests requests = draw_with(pointer, by_key);
  pacer_.drawn(Window::now());
  if (requests.empty()) return;
  for (const screens::Request& request : requests) handle(request);
  if (pointer.released) answered_touch_ = pointer.lifted_at;
  follow_changes();
}

void Kiosk::draw_dark() {
  window_->frame([&](ImDrawList& list, screens::Rect whole) {
    const auto& [sizes, fonts] = window_->scales().back();
    const screens::Canvas nothing(list, *theme_, fonts, sizes, touch_, whole);
    list.AddRectFilled({0, 0}, {whole.w, whole.h}, IM_COL32_BLACK);
    trace_.frame("dark", nothing, {}, {});
    return true;
  });
  pacer_.drawn(Window::now());
}

// A frame that a touch has made out of date is not shown; the next one shows what the touch did.
screens::Requests Kiosk::draw_with(const screens::Pointer& pointer, const std::string& by_key) {
  screens::Requests requests;
  std::optional<screens::Canvas> canvas;
  window_->frame([&](ImDrawList& list, screens::Rect whole) {
    const auto& [sizes, fonts] =
        screens::scale_with_room(window_->scales(), *theme_, whole, [&](screens::Canvas& trial) {
          screens::Requests none;
          screens_.draw(trial, desk_->facts(), none);
        });
    touch_.begin_frame(pointer, Window::now(), by_key);
    canvas.emplace(list, *theme_, fonts, sizes, touch_, whole);
    screens_.draw(*canvas, desk_->facts(), requests);
    canvas->outline_focus(focus_.key());
    return requests.empty();
  });
  if (!canvas || !requests.empty()) return requests;
  focus_.shown(canvas->targets());
  trace_.frame(to_word(screens_.which()), *canvas, answered_touch_, focus_.key());
  answered_touch_.reset();
  return requests;
}

void Kiosk::tick() {
  desk_->tick();
  next_tick_ = Window::now() + desk_->next_tick_in();
  if (Window::now() >= next_room_) look_for_room();
}

void Kiosk::look_for_room() {
  next_room_ = Window::now() + std::chrono::minutes(30);
  measuring_.run(
      main_, [folder = dir_] { return records::room_of(folder); },
      [this](const Result<records::Room>& room) {
        if (!room) return desk_->tell(room.error().message);
        desk_->show_room(*room);
      });
}

// Of a file that is found damaged, every touch says so from then on, for none is kept there.
void Kiosk::check_file() {
  if (!records_->is_in_doubt()) return;
  measuring_.run(
      main_, [folder = dir_] { return records::check_file(folder); },
      [this](const Status& whole) {
        records_->checked(whole);
        if (!whole) desk_->tell(whole.error().message);
      });
}

void Kiosk::handle(const screens::Request& request) {
  desk_->handle(request);
  if (eye_ && std::holds_alternative<screens::LookAgain>(request)) eye_->look_again();
  if (eye_ && std::holds_alternative<screens::NextPicture>(request)) eye_->next_picture();
  const auto* event = std::get_if<flows::TeachEvent>(&request);
  if (event && classroom_) classroom_->touch(*event);
}

}  // namespace

int open_kiosk(const commands::KioskOptions& options) {
  Kiosk kiosk;
  if (const Status opened = kiosk.open(options); !opened) return commands::report(opened.error());
  kiosk.run();
  return commands::done;
}

}  // namespace lastlook::app
