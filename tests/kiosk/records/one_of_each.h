// SPDX-License-Identifier: Apache-2.0
// One happening of every kind, with every field filled in.
#pragma once

#include <vector>

#include "kiosk/domain/happening.h"

namespace lastlook::records::testing {

inline std::vector<domain::Happening> one_of_each() {
  using namespace domain;
  const UpstreamResult leak{UpstreamTest::leak, true, "0.42 ml/min", 1'795'582'000'000'000};
  ComponentOpinion seal;
  seal.component = "seal";
  seal.opinion = Opinion::not_right;
  seal.conforming = "no";
  seal.score = 0.125;
  seal.reason = "colour";
  seal.reason_value = 31.5;
  seal.box = {0.05, 0.25, 0.1, 0.125};
  return {
      JournalStarted{"LL-1", "0.1.0", "00112233445566778899aabbccddeeff", 41, "ab12"},
      MasterAdopted{7, R"({"revision":7,"product":"coolant pump"})", "p-boss"},
      ClockJumped{-3'600'000'000},
      SignedIn{"p-1", Role::quality_engineer},
      SignedOut{"p-1"},
      UnitBuilt{"26330-00417", "CP-210", {leak}},
      ResultEntered{"26330-00417", leak, true, "p-1", "p-2"},
      LookOpened{"k-1", "26330-00417", "", "CP210-26330-00417", true, "CP210", 2, "CP-210",
                 VariantSource::build_record, 7},
      VariantConfirmed{"k-1", "CP-210N"},
      StepAnswered{"k-1", "seal", Answer::nonconforming, Answer::conforming, "not_right"},
      OpinionGiven{"k-1", 12, "m-3", "cd34", {seal}},
      FindingAdded{"k-1", "f-1", "seal", "not_seated", Severity::critical, Place{0.5, 0.25}, "cd34",
                   "Dichtung schief: 2 µm"},
      FindingWithdrawn{"k-1", "f-1", "a reflection"},
      OtherScanSeen{"k-1", "26330-00417", "CP210-26330-00418"},
      LookParked{"k-1", ParkReason::waiting_for_result, "leak test is down"},
      LookResumed{"k-1"},
      LookClosed{"k-1", Disposition::accept, "", "C-17"},
      DispositionCorrected{"k-1", 17, Disposition::accept, Disposition::hold, "wrong unit"},
      SerialLinked{"k-2", "H-4K7Q", "26330-00419", "tag found in the tray"},
      SerialDisputed{"26330-00417", "k-3", "k-1"},
      ConcessionGranted{"C-17", "design office", "CP-210", "lid", "not_seated", 25,
                        1'796'000'000'000'000},
      PartShown{"k-4", "26300-90001", "CP-210"},
      PartJudged{"k-4",
                 "26300-90001",
                 "CP-210",
                 "2026-11-25",
                 "early",
                 13,
                 "m-3",
                 "cd34",
                 {seal},
                 {"seal"},
                 "failed"},
      PartLeft{"k-5", "26300-90002", "too dark"},
      CameraChanged{"usb-camera-2"},
      SecondLookDrawn{"k-1", Disposition::accept, 0.03125, 0.015625},
      ModelApproved{"m-4",
                    "ab01",
                    "m-3",
                    "ab00",
                    "coolant pump",
                    {"CP-210", "CP-210N"},
                    31,
                    {{"seal", 0.75, 0.125, false, false}, {"lid", 0.5, 0.625, true, true}},
                    "stopped good seals"},
      StudyPlanned{"s-1",
                   "Seals",
                   {{"01", "conforming", ""}, {"02", "", ""}},
                   {"p-1", "p-2"},
                   {"p-3"},
                   {"conforming", "nonconforming"},
                   2,
                   30,
                   7},
      StudyRated{"s-1", "p-1", 1, "02", "nonconforming"},
      StudyEnded{"s-1", "item 02 fell down"},
      HandoverNoted{"lamp 2 flickers"},
      ClaimOpened{"C-1", "26330-00417", "2026-11-20", "leaks at the connector"},
      ClaimJudged{"C-1", "26330-00417", ClaimVerdict::escaped, "seal", "missing",
                  "no seal in the connector"},
      PicturesPruned{"2026-06-01", {"ab01", "ab02"}},
      HoldReleased{"k-2", "26330-00417", "supplier's batch checked", "p-2"},
      PartsFitted{"26330-00417", {{"seal ring", "L-2291"}, {"stator", "S-118734"}}},
      SignInAllowed{"p-1", Bar::not_qualified, "renewed", 1'795'597'200'000'000},
      AnswerFirstDrawn{"k-1", {"seal", "lid"}, 0.125},
      AnsweredTogether{"k-1", {"tag", "clip"}, {"present", "present"}},
      ReactionRaised{"lids-k-1", "lids", "lid_not_seated", "lid", 3, 20, {"k-1", "k-0"}},
      ReactionSettled{"lids-k-1", "the lid press was set anew"},
      HelpCalled{"h-1", "k-1"},
      HelpCame{"h-1"},
      ViewingChecked{true, 1150, false, "p-9"},
  };
}

}  // namespace lastlook::records::testing
