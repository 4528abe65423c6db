// SPDX-License-Identifier: Apache-2.0
// The columns of each projected table, in their order, those of the key first. Private to
// tables.cpp.
#pragma once

#include "kiosk/records/fields.h"
#include "kiosk/records/tables.h"

namespace lastlook::records {

template <class Io>
void fields(Io& io, Either<StationStateRow> auto& it) {
  io("journal", it.journal);
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("hash", it.hash);
  io("master_revision", it.master_revision);
  io("signed_seq", it.signed_seq);
  io("wall_us", it.wall_us);
  io("offset_min", it.offset_min);
}
template <class Io>
void fields(Io& io, Either<MasterRow> auto& it) {
  io("station", it.station);
  io("revision", it.revision);
  io("approved_by", it.approved_by);
  io("document", it.document);
  io("journal", it.journal);
  io("generation", it.generation);
  io("seq", it.seq);
}
template <class Io>
void fields(Io& io, Either<UnitRow> auto& it) {
  io("serial", it.serial);
  io("disputed", it.disputed);
}
template <class Io>
void fields(Io& io, Either<UnitBuildRow> auto& it) {
  io("serial", it.serial);
  io("station", it.station);
  io("variant", it.variant);
  io("built_us", it.built_us);
  io("made", it.made);
}
template <class Io>
void fields(Io& io, Either<UnitPartRow> auto& it) {
  io("serial", it.serial);
  io("station", it.station);
  io("part", it.part);
  io("lot", it.lot);
  io("fitted_us", it.fitted_us);
  io("replaced_us", it.replaced_us);
}
template <class Io>
void fields(Io& io, Either<UnitLookRow> auto& it) {
  io("serial", it.serial);
  io("look", it.look);
}
template <class Io>
void fields(Io& io, Either<UpstreamResultRow> auto& it) {
  io("serial", it.serial);
  io("station", it.station);
  io("nth", it.nth);
  io("test", it.test);
  io("passed", it.passed);
  io("value", it.value);
  io("measured_us", it.measured_us);
  io("arrived_us", it.arrived_us);
  io("on_paper", it.on_paper);
  io("first_person", it.first_person);
  io("second_person", it.second_person);
  io("voided_by", it.voided_by);
}
template <class Io>
void fields(Io& io, Either<LookRow> auto& it) {
  io("look", it.look);
  io("journal", it.journal);
  io("station", it.station);
  io("serial", it.serial);
  io("ticket", it.ticket);
  io("number", it.number);
  io("variant", it.variant);
  io("variant_source", it.variant_source);
  io("tag_type", it.tag_type);
  io("revision", it.revision);
  io("state", it.state);
  io("opened_us", it.opened_us);
  io("parked_us", it.parked_us);
  io("closed_us", it.closed_us);
  io("park_reason", it.park_reason);
  io("disposition", it.disposition);
  io("why", it.why);
  io("concession", it.concession);
  io("closed_by", it.closed_by);
  io("closed_seq", it.closed_seq);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
  io("second_of", it.second_of);
}
template <class Io>
void fields(Io& io, Either<SecondLookRow> auto& it) {
  io("serial", it.serial);
  io("look", it.look);
  io("station", it.station);
  io("variant", it.variant);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("rate", it.rate);
  io("number", it.number);
  io("first", it.first);
  io("first_by", it.first_by);
  io("drawn_us", it.drawn_us);
  io("state", it.state);
  io("second_look", it.second_look);
  io("second", it.second);
  io("second_by", it.second_by);
  io("done_us", it.done_us);
}
template <class Io>
void fields(Io& io, Either<CorrectionRow> auto& it) {
  io("look", it.look);
  io("nth", it.nth);
  io("before", it.before);
  io("after", it.after);
  io("why_before", it.why_before);
  io("why", it.why);
  io("person", it.person);
  io("corrected_us", it.corrected_us);
}
template <class Io>
void fields(Io& io, Either<OpenLookEntryRow> auto& it) {
  io("look", it.look);
  io("generation", it.generation);
  io("seq", it.seq);
  io("journal", it.journal);
}
template <class Io>
void fields(Io& io, Either<WaitingRow> auto& it) {
  io("look", it.look);
  io("serial", it.serial);
  io("ticket", it.ticket);
  io("variant", it.variant);
  io("why", it.why);
  io("parked", it.parked);
  io("since_us", it.since_us);
}
template <class Io>
void fields(Io& io, Either<StepAnswerRow> auto& it) {
  io("look", it.look);
  io("component", it.component);
  io("answer", it.answer);
  io("first_answer", it.first_answer);
  io("opinion_shown", it.opinion_shown);
  io("corrections", it.corrections);
  io("person", it.person);
  io("answered_us", it.answered_us);
  io("drawn", it.drawn);
  io("together", it.together);
}
template <class Io>
void fields(Io& io, Either<FindingRow> auto& it) {
  io("look", it.look);
  io("finding", it.finding);
  io("component", it.component);
  io("defect", it.defect);
  io("severity", it.severity);
  io("place_x", it.place_x);
  io("place_y", it.place_y);
  io("picture", it.picture);
  io("note", it.note);
  io("person", it.person);
  io("found_us", it.found_us);
  io("withdrawn", it.withdrawn);
  io("withdrawn_why", it.withdrawn_why);
  io("first_look", it.first_look);
}
template <class Io>
void fields(Io& io, Either<OpinionRow> auto& it) {
  io("look", it.look);
  io("component", it.component);
  io("opinion", it.opinion);
  io("conforming", it.conforming);
  io("score", it.score);
  io("reason", it.reason);
  io("reason_value", it.reason_value);
  io("x", it.x);
  io("y", it.y);
  io("w", it.w);
  io("h", it.h);
  io("frame", it.frame);
  io("model", it.model);
  io("picture", it.picture);
  io("given_us", it.given_us);
}
template <class Io>
void fields(Io& io, Either<FirstOpinionRow> auto& it) {
  io("station", it.station);
  io("variant", it.variant);
  io("model", it.model);
  io("given_us", it.given_us);
}
template <class Io>
void fields(Io& io, Either<ConcessionRow> auto& it) {
  io("station", it.station);
  io("number", it.number);
  io("authority", it.authority);
  io("variant", it.variant);
  io("component", it.component);
  io("defect", it.defect);
  io("quantity", it.quantity);
  io("expires_us", it.expires_us);
  io("used", it.used);
}
template <class Io>
void fields(Io& io, Either<ShowingRow> auto& it) {
  io("showing", it.showing);
  io("journal", it.journal);
  io("station", it.station);
  io("part", it.part);
  io("variant", it.variant);
  io("state", it.state);
  io("shown_us", it.shown_us);
  io("ended_us", it.ended_us);
  io("shown_by", it.shown_by);
  io("why_left", it.why_left);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("model", it.model);
  io("picture", it.picture);
  io("proof", it.proof);
  io("unmet", it.unmet);
}
template <class Io>
void fields(Io& io, Either<ShowingOpinionRow> auto& it) {
  io("showing", it.showing);
  io("component", it.component);
  io("opinion", it.opinion);
  io("conforming", it.conforming);
  io("score", it.score);
  io("reason", it.reason);
  io("reason_value", it.reason_value);
  io("met", it.met);
}
template <class Io>
void fields(Io& io, Either<ProofEntryRow> auto& it) {
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("journal", it.journal);
  io("production_date", it.production_date);
  io("shift", it.shift);
}
template <class Io>
void fields(Io& io, Either<ApprovedModelRow> auto& it) {
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("journal", it.journal);
}
template <class Io>
void fields(Io& io, Either<LocalTimeRow> auto& it) {
  io("station", it.station);
  io("generation", it.generation);
  io("seq", it.seq);
  io("since_us", it.since_us);
  io("offset_min", it.offset_min);
}
template <class Io>
void fields(Io& io, Either<StoppedRow> auto& it) {
  io("journal", it.journal);
  io("station", it.station);
  io("seq", it.seq);
  io("entries", it.entries);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<StudyRow> auto& it) {
  io("study", it.study);
  io("station", it.station);
  io("plan", it.plan);
  io("planned_by", it.planned_by);
  io("planned_us", it.planned_us);
  io("rated", it.rated);
  io("ended_us", it.ended_us);
  io("why_ended", it.why_ended);
  io("wanted", it.wanted);
}
template <class Io>
void fields(Io& io, Either<StudyRatingRow> auto& it) {
  io("study", it.study);
  io("nth", it.nth);
  io("person", it.person);
  io("trial", it.trial);
  io("item", it.item);
  io("rating", it.rating);
  io("rated_us", it.rated_us);
}
template <class Io>
void fields(Io& io, Either<HandoverNoteRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("station", it.station);
  io("journal", it.journal);
  io("seq", it.seq);
  io("noted_us", it.noted_us);
  io("note", it.note);
}
template <class Io>
void fields(Io& io, Either<ReactionRow> auto& it) {
  io("reaction", it.reaction);
  io("station", it.station);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("plan", it.plan);
  io("defect", it.defect);
  io("component", it.component);
  io("times", it.times);
  io("in_units", it.in_units);
  io("raised_us", it.raised_us);
  io("settled_us", it.settled_us);
  io("settled_by", it.settled_by);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<HelpCallRow> auto& it) {
  io("help", it.help);
  io("station", it.station);
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("look", it.look);
  io("called_us", it.called_us);
  io("came_us", it.came_us);
}
template <class Io>
void fields(Io& io, Either<ViewingCheckRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("station", it.station);
  io("journal", it.journal);
  io("seq", it.seq);
  io("lamp", it.lamp);
  io("lux", it.lux);
  io("distance", it.distance);
  io("allowed_by", it.allowed_by);
  io("checked_us", it.checked_us);
}
template <class Io>
void fields(Io& io, Either<ClaimRow> auto& it) {
  io("serial", it.serial);
  io("claim", it.claim);
  io("station", it.station);
  io("reported", it.reported);
  io("complaint", it.complaint);
  io("opened_us", it.opened_us);
  io("verdict", it.verdict);
  io("component", it.component);
  io("defect", it.defect);
  io("why", it.why);
  io("judged_us", it.judged_us);
}
template <class Io>
void fields(Io& io, Either<HoldReleaseRow> auto& it) {
  io("look", it.look);
  io("serial", it.serial);
  io("station", it.station);
  io("released_us", it.released_us);
  io("person", it.person);
  io("second_person", it.second_person);
  io("why", it.why);
}
template <class Io>
void fields(Io& io, Either<SignInAllowanceRow> auto& it) {
  io("station", it.station);
  io("person", it.person);
  io("despite", it.despite);
  io("allowed_by", it.allowed_by);
  io("why", it.why);
  io("allowed_us", it.allowed_us);
  io("until_us", it.until_us);
}
template <class Io>
void fields(Io& io, Either<PrunedPictureRow> auto& it) {
  io("picture", it.picture);
  io("station", it.station);
  io("pruned_us", it.pruned_us);
}
template <class Io>
void fields(Io& io, Either<CountLookRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
  io("station", it.station);
  io("variant", it.variant);
  io("looks", it.looks);
  io("first_looks", it.first_looks);
  io("first_pass", it.first_pass);
  io("accept", it.accept);
  io("rework", it.rework);
  io("hold", it.hold);
  io("scrap", it.scrap);
}
template <class Io>
void fields(Io& io, Either<CountDefectRow> auto& it) {
  io("production_date", it.production_date);
  io("shift", it.shift);
  io("quarter", it.quarter);
  io("station", it.station);
  io("variant", it.variant);
  io("component", it.component);
  io("defect", it.defect);
  io("severity", it.severity);
  io("findings", it.findings);
  io("units", it.units);
}

}  // namespace lastlook::records
