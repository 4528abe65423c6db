// SPDX-License-Identifier: Apache-2.0
#include <type_traits>

#include "kiosk/flows/case.h"

namespace lastlook::flows {
namespace {

// What goes on while nobody is signed in: the camera looks, a revision arrives, a person signs in.
template <class Kind>
constexpr bool needs_a_person =
    !std::is_same_v<Kind, SignIn> && !std::is_same_v<Kind, AllowSignIn> &&
    !std::is_same_v<Kind, SignOut> && !std::is_same_v<Kind, AdoptMaster> &&
    !std::is_same_v<Kind, OpinionArrived> && !std::is_same_v<Kind, OtherTagSeen> &&
    !std::is_same_v<Kind, UseCamera> && !std::is_same_v<Kind, PlanStudy> &&
    !std::is_same_v<Kind, EndStudy> && !std::is_same_v<Kind, OpenClaim> &&
    !std::is_same_v<Kind, GrantConcession> && !std::is_same_v<Kind, JudgeClaim> &&
    !std::is_same_v<Kind, PrunePictures> && !std::is_same_v<Kind, TakeResults>;

// The work on a unit or an item, which is not the administrator's.
template <class Kind>
constexpr bool inspects =
    std::is_same_v<Kind, Scan> || std::is_same_v<Kind, NoReadableTag> ||
    std::is_same_v<Kind, StartReturn> || std::is_same_v<Kind, AnotherBody> ||
    std::is_same_v<Kind, ConfirmVariant> || std::is_same_v<Kind, AnswerStep> ||
    std::is_same_v<Kind, AddFinding> || std::is_same_v<Kind, WithdrawFinding> ||
    std::is_same_v<Kind, Park> || std::is_same_v<Kind, Resume> || std::is_same_v<Kind, Close> ||
    std::is_same_v<Kind, EnterPaperResult> || std::is_same_v<Kind, LeavePart> ||
    std::is_same_v<Kind, RateItem> || std::is_same_v<Kind, AnswerTogether> ||
    std::is_same_v<Kind, CheckViewing>;

// One thing at a time: not while a challenge part lies under the camera.
template <class Kind>
constexpr bool waits_for_the_part =
    std::is_same_v<Kind, NoReadableTag> || std::is_same_v<Kind, StartReturn> ||
    std::is_same_v<Kind, AnotherBody> || std::is_same_v<Kind, Resume> ||
    std::is_same_v<Kind, AdoptMaster> || std::is_same_v<Kind, RateItem>;

}  // namespace

Result<Outcome> decide(const Inspection& state, const Event& event, Lookups& lookups,
                       const domain::Reading& now) {
  const Case at{state, lookups, now};
  return std::visit(
      [&]<class Kind>(const Kind& given) -> Result<Outcome> {
        if (needs_a_person<Kind> && state.person.empty()) return notice("sign_in_first");
        if (inspects<Kind> && !may(state.role, domain::Right::inspect))
          return notice("needs_inspector");
        if (waits_for_the_part<Kind> && state.challenge.open)
          return notice("part_open", {state.challenge.open->part});
        return on(at, given);
      },
      event);
}

}  // namespace lastlook::flows
