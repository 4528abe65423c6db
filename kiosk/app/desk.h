// SPDX-License-Identifier: Apache-2.0
// The station as the screens meet it: requests in, facts out. On the window's thread; knows no
// window, so tests drive it too.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "kiosk/app/pin_desk.h"
#include "kiosk/app/review_desk.h"
#include "kiosk/app/study_desk.h"
#include "kiosk/app/task_queue.h"
#include "kiosk/app/waiting_revision.h"
#include "kiosk/flows/station.h"
#include "kiosk/records/people.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"
#include "kiosk/text/languages.h"
#include "kiosk/text/result_file.h"

namespace lastlook::app {

class Desk {
 public:
  struct Parts {
    flows::Station& station;
    records::People& people;
    domain::Clock& clock;
    const text::Languages& languages;
    MainQueue& main;
    TaskThread& tasks;
    bool left_handed = false;
  };
  // People and clock are asked until this is gone.
  explicit Desk(const Parts& parts);

  void handle(const screens::Request& request);
  void scanned(const std::string& code);
  void opinion_arrived(const flows::OpinionArrived& opinion);
  void opinion_withheld(const std::string& look, screens::WithheldFacts why);
  void show_camera(const screens::CameraFacts& camera);
  void picture_not_kept(const Error& error);
  Status take_results(const text::ResultFile& file);
  void results_refused(const std::string& why);
  void revision_offered(const domain::MasterAdopted& newer);  // by the plant
  void tell(const flows::Notice& notice);
  void tell(const std::string& words);
  void show_teaching(const screens::TeachingFacts& teaching);
  void show_sending(const sync::CourierStatus& sending);
  void show_room(const records::Room& room);
  void show_samples(std::vector<screens::SampleFacts> samples);
  const StudyDesk& study() const { return study_; }
  void show_study_picture(std::uintptr_t texture, float aspect);
  void use_camera(const std::string& name);  // by its stable name, when it opens
  void touched();                            // a hand is there, whether it asks for anything or not
  void tick();                               // the time has changed

  ReviewDesk& review() { return review_; }

  const screens::Facts& facts() const { return facts_; }
  // Counts up whenever the facts have changed.
  int changes() const { return changes_; }
  // When tick() is due at the latest.
  std::chrono::milliseconds next_tick_in();

 private:
  void handle_event(const flows::Event& event);
  void take(const flows::Outcome& outcome, const flows::Event& event);
  void fault(const Error& error);
  void let_in(const flows::SignIn& who);
  void countersigned(const screens::Countersign& act, domain::Role role);
  bool signed_in_by_badge(const std::string& code);
  void gather();
  void other_tag_seen(const std::string& look, const std::vector<std::string>& codes);
  void gather_open_look();
  bool held_back_by_lock(const screens::Request& request);
  bool may_lock() const;  // the plant wants it, and somebody is signed in
  void lock_if_left(const domain::Reading& now);
  void speak();  // the language of who is signed in, or the one that was chosen
  void choose_language(const std::string& language);
  const text::Strings& say() const { return *facts_.say; }
  void gather_people();
  void adopt_revision();
  void gather_review();
  void gather_handover(const domain::Reading& now);
  void gather_what_is_done(const domain::Reading& now);

  Parts parts_;
  screens::Facts facts_;
  StudyDesk study_;
  WaitingRevision revision_;
  ReviewDesk review_;
  PinDesk pins_;
  std::string chosen_language_;  // while nobody is signed in
  std::string asked_;            // the open look or challenge part, when it was last gathered
  // By person, the newest note that they read or wrote, as long as the program runs: shown once.
  std::map<std::string, std::int64_t, std::less<>> knows_notes_to_;
  std::string closed_look_;      // the one closed last, when its verdict was last looked for
  std::int64_t touched_us_ = 0;  // of the forward clock: the last touch or scan
  int changes_ = 0;
};

}  // namespace lastlook::app
