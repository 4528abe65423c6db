// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/teaching.h"

#include <algorithm>
#include <utility>

#include "kiosk/flows/approving.h"

namespace lastlook::flows {

using namespace domain;

namespace {

using Step = Teaching::Step;

bool is_marked(const Teaching& teaching, const std::string& component) {
  return std::ranges::count(teaching.marks, component, &TeachingMark::component) > 0;
}

// What the one before accepted is not accepted by this one.
void take_over(Teaching& now, const std::string& person) {
  now.person = person;
  if (!now.sheet) return;
  for (SheetComponent& one : now.sheet->components) one.gap.overlap_accepted = false;
}

struct Touched {
  TeachOutcome& out;
  const Inspection& state;
  Teaching& now = out.teaching;

  void refuse(std::string code, std::vector<std::string> subjects = {}) const {
    out.notice = Notice{std::move(code), std::move(subjects)};
  }
  // One thing at a time on the disk.
  void work(TeachWork work) const {
    now.busy = true;
    out.work = std::move(work);
  }
  void keep_labels(std::vector<TeachingMark> marks, std::vector<TeachingShot> shots) const {
    work(KeepLabels{std::move(marks), std::move(shots)});
  }
  void forget_lesson() const {
    now.sheet.reset();
    now.done = now.total = 0;
  }

  void operator()(const OpenTeaching&) const {
    now.open = true;
    now.step = Step::home;
    work(ReadFolder{});
  }
  void operator()(const LeaveTeaching&) const {
    now.open = false;
    if (now.step == Step::learn) (*this)(StopLearning{});
    now.step = Step::home;
  }
  void operator()(const ChooseVariant& it) const {
    if (!state.master.variant(it.variant)) return;
    if (now.variant != it.variant) now.faults.clear();
    now.variant = it.variant;
    now.step = !now.reference ? Step::reference : now.marks.empty() ? Step::mark : Step::shoot;
  }
  void operator()(const GoToStep& it) const {
    const bool ready = it.step == Step::home || it.step == Step::reference ||
                       (it.step == Step::mark && now.reference) ||
                       (it.step == Step::shoot && !now.marks.empty()) ||
                       (it.step == Step::sheet && now.sheet);
    if (ready && now.step != Step::learn) now.step = it.step;
  }
  void operator()(const TakeReference&) const {
    if (now.step == Step::reference) work(KeepReference{});
  }
  void operator()(const PutMark& it) const {
    if (now.step != Step::mark || it.mark.component.empty() || !is_place(it.mark.box)) return;
    std::vector<TeachingMark> marks = now.marks;
    const auto known = std::ranges::find(marks, it.mark.component, &TeachingMark::component);
    if (known == marks.end())
      marks.push_back(it.mark);
    else
      *known = it.mark;
    keep_labels(std::move(marks), now.shots);
  }
  void operator()(const RemoveMark& it) const {
    if (now.step != Step::mark || !is_marked(now, it.component)) return;
    if (now.marks.size() == 1 && !now.shots.empty()) return refuse("last_mark", {it.component});
    std::vector<TeachingMark> marks = now.marks;
    std::erase_if(marks, [&](const auto& mark) { return mark.component == it.component; });
    std::vector<TeachingShot> shots = now.shots;
    std::erase_if(shots, [&](const TeachingShot& shot) {
      return std::ranges::count(shot.faults, it.component, &KnownFault::component) > 0;
    });
    std::erase_if(now.faults, [&](const auto& fault) { return fault.component == it.component; });
    keep_labels(std::move(marks), std::move(shots));
  }
  // What the variant expects is no fault: such a picture would teach the camera to stop good units.
  void operator()(const SetFault& it) const {
    if (now.step != Step::shoot || !is_marked(now, it.fault.component)) return;
    const Expectation expected = expected_at(state.master, now.variant, it.fault.component);
    if (std::ranges::count(possible_faults(expected), it.fault.seen) == 0)
      return refuse("no_fault_there", {it.fault.component, now.variant});
    std::erase_if(now.faults,
                  [&](const auto& fault) { return fault.component == it.fault.component; });
    now.faults.push_back(it.fault);
  }
  void operator()(const NoFaults&) const { now.faults.clear(); }
  void operator()(const TakeShot&) const {
    if (now.step != Step::shoot || now.marks.empty() || now.variant.empty()) return;
    now.taking = std::exchange(now.faults, {});  // the next unit is another one
    work(KeepShot{{"", now.variant, now.taking}});
  }
  void operator()(const TakeBackShot& it) const {
    std::vector<TeachingShot> shots = now.shots;
    std::erase_if(shots, [&](const TeachingShot& shot) { return shot.file == it.file; });
    if (shots.size() < now.shots.size()) keep_labels(now.marks, std::move(shots));
  }
  void operator()(const Learn&) const {
    if (!can_learn(now)) return refuse("not_enough_pictures");
    forget_lesson();
    now.step = Step::learn;
    out.work = LearnFolder{++now.lesson};
  }
  void operator()(const StopLearning&) const {
    if (now.step != Step::learn) return;
    ++now.lesson;  // what still comes of it is late
    forget_lesson();
    now.step = Step::shoot;
    out.work = ForgetLesson{};
  }
  void operator()(const AcceptOverlap& it) const {
    if (!now.sheet) return;
    for (SheetComponent& one : now.sheet->components)
      if (one.gap.component == it.component)
        one.gap.overlap_accepted = it.accepted && overlaps(one.gap);
  }
  void operator()(const Approve&) const {
    if (now.step != Step::sheet || !now.sheet) return;
    const ContactSheet& sheet = *now.sheet;
    ModelApproved approval;
    approval.model = sheet.model;
    approval.product = state.master.product;
    approval.variants = sheet.variants;
    approval.pictures = sheet.pictures;
    for (const SheetComponent& one : sheet.components) approval.gaps.push_back(one.gap);
    if (const TaughtGap* gap = undecided(approval.gaps))
      return refuse("overlap_undecided", {gap->component});
    if (state.model && state.model->model == sheet.model)
      return refuse("model_in_use", {sheet.model});
    work(KeepModel{std::move(approval), state.person});
  }
  void operator()(const GoBack& it) const {
    if (now.step == Step::home) work(FindModel{it.model, it.why, state.person});
  }
  void operator()(const StartAfresh&) const {
    if (now.step == Step::home) work(SetFolderAside{});
  }

  template <class Other>
  void operator()(const Other&) const {}
};

struct CameBack {
  Teaching& now;

  void operator()(const FolderIs& it) const {
    now.busy = now.unread = false;
    if (now.marks != it.marks || now.shots != it.shots || !it.reference) now.sheet.reset();
    if (now.step == Step::sheet && !now.sheet) now.step = Step::shoot;  // to learn again
    now.reference = it.reference;
    now.marks = it.marks;
    now.shots = it.shots;
    if (it.taken && now.step == Step::reference) {
      now.sheet.reset();
      now.step = Step::mark;
    }
    if (it.taken) now.taking.clear();
  }
  void operator()(const WorkFailed& it) const {
    now.busy = false;
    now.trouble = it.why;
    now.unread = now.unread || it.unread;
    if (now.unread) {
      now.sheet.reset();
      now.step = Step::home;
    }
    // Tried again it is the same unit: never a bad one taken for a good one.
    if (!now.taking.empty()) now.faults = std::exchange(now.taking, {});
  }
  void operator()(const LearnedSome& it) const {
    if (now.step != Step::learn || it.lesson != now.lesson) return;
    now.done = it.done;
    now.total = it.total;
  }
  void operator()(const Learned& it) const {
    if (now.step != Step::learn || it.lesson != now.lesson) return;
    now.sheet = it.sheet;
    now.step = Step::sheet;
  }
  void operator()(const NotLearned& it) const {
    if (now.step != Step::learn || it.lesson != now.lesson) return;
    now.trouble = it.why;
    now.step = Step::shoot;
  }
  void operator()(const ModelInUse&) const {
    now.busy = false;
    now.step = Step::home;
  }
  template <class Other>
  void operator()(const Other&) const {}
};

template <class Event>
constexpr bool came_back = std::is_same_v<Event, FolderIs> || std::is_same_v<Event, WorkFailed> ||
                           std::is_same_v<Event, LearnedSome> || std::is_same_v<Event, Learned> ||
                           std::is_same_v<Event, NotLearned> || std::is_same_v<Event, ModelInUse>;

template <class Event>
constexpr bool needs_disk =
    std::is_same_v<Event, OpenTeaching> || std::is_same_v<Event, ChooseVariant> ||
    std::is_same_v<Event, TakeReference> || std::is_same_v<Event, PutMark> ||
    std::is_same_v<Event, RemoveMark> || std::is_same_v<Event, TakeShot> ||
    std::is_same_v<Event, TakeBackShot> || std::is_same_v<Event, Learn> ||
    std::is_same_v<Event, Approve> || std::is_same_v<Event, GoBack> ||
    std::is_same_v<Event, StartAfresh>;

template <class Event>
constexpr bool needs_no_folder =
    std::is_same_v<Event, OpenTeaching> || std::is_same_v<Event, GoBack> ||
    std::is_same_v<Event, StartAfresh>;

// Going away is always possible, and an answer of the disk is nobody's touch.
template <class Event>
constexpr bool is_asked_first = !came_back<Event> && !std::is_same_v<Event, LeaveTeaching> &&
                                !std::is_same_v<Event, StopLearning>;

}  // namespace

std::string_view to_word(Step step) {
  switch (step) {
    case Step::home:
      return "home";
    case Step::reference:
      return "reference";
    case Step::mark:
      return "mark";
    case Step::shoot:
      return "shoot";
    case Step::learn:
      return "learn";
    case Step::sheet:
      return "sheet";
  }
  return "?";
}

bool can_learn(const Teaching& teaching) {
  if (!teaching.reference || teaching.marks.empty() || teaching.shots.empty()) return false;
  return std::ranges::none_of(
      still_wanted(teaching.shots.front().variant, teaching.marks, teaching.shots),
      [](const Wanted& one) { return one.what == Wanted::What::good; });
}

TeachOutcome teach(Teaching teaching, const TeachEvent& event, const Inspection& state) {
  TeachOutcome out{std::move(teaching), {}, {}};
  std::visit(
      [&]<class Event>(const Event& given) {
        if constexpr (came_back<Event>) {
          CameBack{out.teaching}(given);
        } else {
          if (is_asked_first<Event>) {
            if ((out.notice = teaching_refused(state))) return;
            if (needs_disk<Event> && out.teaching.busy) return;
            if (out.teaching.unread && !needs_no_folder<Event>) {
              out.notice = Notice{"teaching_unread", {}};
              return;
            }
          }
          if (is_asked_first<Event> && out.teaching.person != state.person)
            take_over(out.teaching, state.person);
          out.teaching.trouble.clear();
          Touched{out, state}(given);
        }
      },
      event);
  return out;
}

}  // namespace lastlook::flows
