// SPDX-License-Identifier: Apache-2.0
// The fields of each kind of happening in the newest version of its body. Private to the codec.
#pragma once

#include "kiosk/domain/happening.h"
#include "kiosk/records/fields.h"

// In the namespace of the structs, so that they are found by their arguments.
namespace lastlook::domain {

using records::Either;

template <class Io>
void fields(Io& io, Either<JournalStarted> auto& it) {
  io("station", it.station);
  io("program", it.program);
  io("after_journal", it.after_journal);
  io("after_seq", it.after_seq);
  io("after_hash", it.after_hash);
}
template <class Io>
void fields(Io& io, Either<MasterAdopted> auto& it) {
  io("revision", it.revision);
  io("document", it.document);
  io("approved_by", it.approved_by);
  io("second_person", it.second_person);
}
template <class Io>
void fields(Io& io, Either<ClockJumped> auto& it) {
  io("by_us", it.by_us);
}
template <class Io>
void fields(Io& io, Either<SignedIn> auto& it) {
  io("person", it.person);
  io("role", it.role);
}
template <class Io>
void fields(Io& io, Either<SignedOut> auto& it) {
  io("person", it.person);
}
template <class Io>
void fields(Io& io, Either<UpstreamResult> auto& it) {
  io("test", it.test);
  io("passed", it.passed);
  io("value", it.value);
  io("measured_us", it.measured_us);
}
template <class Io>
void fields(Io& io, Either<UnitBuilt> auto& it) {
  io("serial", it.serial);
  io("variant", it.variant);
  io("results", it.results);
  io("made", it.made);
}
template <class Io>
void fields(Io& io, Either<ResultEntered> auto& it) {
  io("serial", it.serial);
  io("result", it.result);
  io("on_paper", it.on_paper);
  io("first_person", it.first_person);
  io("second_person", it.second_person);
}
template <class Io>
void fields(Io& io, Either<LookOpened> auto& it) {
  io("look", it.look);
  io("serial", it.serial);
  io("ticket", it.ticket);
  io("code", it.code);
  io("typed", it.typed);
  io("tag_type", it.tag_type);
  io("number", it.number);
  io("variant", it.variant);
  io("variant_source", it.variant_source);
  io("revision", it.revision);
  io("second_of", it.second_of);
}
template <class Io>
void fields(Io& io, Either<VariantConfirmed> auto& it) {
  io("look", it.look);
  io("variant", it.variant);
}
template <class Io>
void fields(Io& io, Either<StepAnswered> auto& it) {
  io("look", it.look);
  io("component", it.component);
  io("answer", it.answer);
  io("before", it.before);
  io("opinion_shown", it.opinion_shown);
}
template <class Io>
void fields(Io& io, Either<Box> auto& it) {
  io("x", it.x);
  io("y", it.y);
  io("w", it.w);
  io("h", it.h);
}
template <class Io>
void fields(Io& io, Either<Place> auto& it) {
  io("x", it.x);
  io("y", it.y);
}
template <class Io>
void fields(Io& io, Either<ComponentOpinion> auto& it) {
  io("component", it.component);
  io("opinion", it.opinion);
  io("conforming", it.conforming);
  io("score", it.score);
  io("reason", it.reason);
  io("reason_value", it.reason_value);
  io("box", it.box);
}
template <class Io>
void fields(Io& io, Either<OpinionGiven> auto& it) {
  io("look", it.look);
  io("frame", it.frame);
  io("model", it.model);
  io("picture", it.picture);
  io("components", it.components);
  io("overlay", it.overlay);
}
template <class Io>
void fields(Io& io, Either<FindingAdded> auto& it) {
  io("look", it.look);
  io("finding", it.finding);
  io("component", it.component);
  io("defect", it.defect);
  io("severity", it.severity);
  io("place", it.place);
  io("picture", it.picture);
  io("note", it.note);
}
template <class Io>
void fields(Io& io, Either<FindingWithdrawn> auto& it) {
  io("look", it.look);
  io("finding", it.finding);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<OtherScanSeen> auto& it) {
  io("look", it.look);
  io("open_serial", it.open_serial);
  io("seen_code", it.seen_code);
}
template <class Io>
void fields(Io& io, Either<LookParked> auto& it) {
  io("look", it.look);
  io("reason", it.reason);
  io("note", it.note);
}
template <class Io>
void fields(Io& io, Either<LookResumed> auto& it) {
  io("look", it.look);
}
template <class Io>
void fields(Io& io, Either<LookClosed> auto& it) {
  io("look", it.look);
  io("disposition", it.disposition);
  io("why", it.why);
  io("concession", it.concession);
}
template <class Io>
void fields(Io& io, Either<SecondLookDrawn> auto& it) {
  io("look", it.look);
  io("disposition", it.disposition);
  io("rate", it.rate);
  io("number", it.number);
}
template <class Io>
void fields(Io& io, Either<DispositionCorrected> auto& it) {
  io("look", it.look);
  io("corrects_seq", it.corrects_seq);
  io("from", it.from);
  io("to", it.to);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<SerialLinked> auto& it) {
  io("look", it.look);
  io("ticket", it.ticket);
  io("serial", it.serial);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<SerialDisputed> auto& it) {
  io("serial", it.serial);
  io("look", it.look);
  io("other_look", it.other_look);
}
template <class Io>
void fields(Io& io, Either<ConcessionGranted> auto& it) {
  io("number", it.number);
  io("authority", it.authority);
  io("variant", it.variant);
  io("component", it.component);
  io("defect", it.defect);
  io("quantity", it.quantity);
  io("expires_us", it.expires_us);
}
template <class Io>
void fields(Io& io, Either<PartShown> auto& it) {
  io("showing", it.showing);
  io("part", it.part);
  io("variant", it.variant);
}
template <class Io>
void fields(Io& io, Either<PartJudged> auto& it) {
  io("showing", it.showing);
  io("part", it.part);
  io("variant", it.variant);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("frame", it.frame);
  io("model", it.model);
  io("picture", it.picture);
  io("components", it.components);
  io("unmet", it.unmet);
  io("proof", it.proof);
  io("overlay", it.overlay);
}
template <class Io>
void fields(Io& io, Either<PartLeft> auto& it) {
  io("showing", it.showing);
  io("part", it.part);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<CameraChanged> auto& it) {
  io("camera", it.camera);
}
template <class Io>
void fields(Io& io, Either<TaughtGap> auto& it) {
  io("component", it.component);
  io("worst_good", it.worst_good);
  io("best_bad", it.best_bad);
  io("made_up", it.made_up);
  io("overlap_accepted", it.overlap_accepted);
}
template <class Io>
void fields(Io& io, Either<ModelApproved> auto& it) {
  io("model", it.model);
  io("file", it.file);
  io("before", it.before);
  io("before_file", it.before_file);
  io("product", it.product);
  io("variants", it.variants);
  io("pictures", it.pictures);
  io("gaps", it.gaps);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<StudyItem> auto& it) {
  io("label", it.label);
  io("reference", it.reference);
  io("picture", it.picture);
}
template <class Io>
void fields(Io& io, Either<StudyPlanned> auto& it) {
  io("study", it.study);
  io("title", it.title);
  io("items", it.items);
  io("inspectors", it.inspectors);
  io("panel", it.panel);
  io("ratings", it.ratings);
  io("trials", it.trials);
  io("gap_min", it.gap_min);
  io("seed", it.seed);
}
template <class Io>
void fields(Io& io, Either<StudyRated> auto& it) {
  io("study", it.study);
  io("person", it.person);
  io("trial", it.trial);
  io("item", it.item);
  io("rating", it.rating);
}
template <class Io>
void fields(Io& io, Either<StudyEnded> auto& it) {
  io("study", it.study);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<HandoverNoted> auto& it) {
  io("note", it.note);
}
template <class Io>
void fields(Io& io, Either<ClaimOpened> auto& it) {
  io("claim", it.claim);
  io("serial", it.serial);
  io("reported", it.reported);
  io("complaint", it.complaint);
}
template <class Io>
void fields(Io& io, Either<ClaimJudged> auto& it) {
  io("claim", it.claim);
  io("serial", it.serial);
  io("verdict", it.verdict);
  io("component", it.component);
  io("defect", it.defect);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<PicturesPruned> auto& it) {
  io("before", it.before);
  io("pictures", it.pictures);
}
template <class Io>
void fields(Io& io, Either<HoldReleased> auto& it) {
  io("look", it.look);
  io("serial", it.serial);
  io("why", it.why);
  io("second_person", it.second_person);
}
template <class Io>
void fields(Io& io, Either<FittedPart> auto& it) {
  io("part", it.part);
  io("lot", it.lot);
}
template <class Io>
void fields(Io& io, Either<PartsFitted> auto& it) {
  io("serial", it.serial);
  io("parts", it.parts);
}
template <class Io>
void fields(Io& io, Either<SignInAllowed> auto& it) {
  io("person", it.person);
  io("despite", it.despite);
  io("why", it.why);
  io("until_us", it.until_us);
}
template <class Io>
void fields(Io& io, Either<AnswerFirstDrawn> auto& it) {
  io("look", it.look);
  io("components", it.components);
  io("rate", it.rate);
}
template <class Io>
void fields(Io& io, Either<AnsweredTogether> auto& it) {
  io("look", it.look);
  io("components", it.components);
  io("opinions_shown", it.opinions_shown);
}
template <class Io>
void fields(Io& io, Either<ReactionRaised> auto& it) {
  io("reaction", it.reaction);
  io("plan", it.plan);
  io("defect", it.defect);
  io("component", it.component);
  io("times", it.times);
  io("in_units", it.in_units);
  io("looks", it.looks);
}
template <class Io>
void fields(Io& io, Either<ReactionSettled> auto& it) {
  io("reaction", it.reaction);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<HelpCalled> auto& it) {
  io("help", it.help);
  io("look", it.look);
}
template <class Io>
void fields(Io& io, Either<HelpCame> auto& it) {
  io("help", it.help);
}
template <class Io>
void fields(Io& io, Either<ViewingChecked> auto& it) {
  io("lamp", it.lamp);
  io("lux", it.lux);
  io("distance", it.distance);
  io("allowed_by", it.allowed_by);
}

}  // namespace lastlook::domain
