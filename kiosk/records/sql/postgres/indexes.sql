-- SPDX-License-Identifier: Apache-2.0
-- The indexes of a plant's rows: those that the migrations of SQLite make.
CREATE INDEX look_by_ticket ON look (ticket) WHERE ticket <> '';
CREATE INDEX showing_by_part ON showing (part, ended_us);
CREATE INDEX look_by_close ON look (station, variant, closed_us);
CREATE INDEX second_look_by_date ON second_look (production_date, shift);
CREATE INDEX look_by_date ON look (production_date);
CREATE INDEX unit_part_by_lot ON unit_part (lot);
CREATE INDEX study_going_on ON study (planned_us) WHERE ended_us = 0 AND rated < wanted;
CREATE INDEX showing_by_date ON showing (production_date);
CREATE INDEX showing_that_held ON showing (station, variant, model, ended_us) WHERE proof = 'held';
CREATE INDEX waiting_for_second_look ON waiting (look) WHERE why = 'second_look';
CREATE INDEX concession_by_expiry ON concession (expires_us);
CREATE INDEX reaction_by_time ON reaction (raised_us);
CREATE INDEX reaction_open ON reaction (raised_us) WHERE settled_us = 0;
CREATE INDEX help_not_come ON help_call (station) WHERE came_us = 0;
CREATE INDEX help_by_date ON help_call (production_date);
