-- SPDX-License-Identifier: Apache-2.0
-- What a station asks at its start and after every touch is found without reading what is done:
-- proofs by date, what waits, studies that go on, concessions that may still be used.

-- When a model's opinion was first given on a look of production.
CREATE TABLE first_opinion (
  station TEXT NOT NULL,
  variant TEXT NOT NULL,
  model TEXT NOT NULL,
  given_us INTEGER NOT NULL,
  PRIMARY KEY (station, variant, model)
) STRICT, WITHOUT ROWID;

ALTER TABLE study ADD COLUMN wanted INTEGER NOT NULL DEFAULT 0;

CREATE INDEX study_going_on ON study (planned_us) WHERE ended_us = 0 AND rated < wanted;
CREATE INDEX showing_by_date ON showing (production_date);
CREATE INDEX showing_that_held ON showing (station, variant, model, ended_us) WHERE proof = 'held';
CREATE INDEX waiting_for_second_look ON waiting (look) WHERE why = 'second_look';
CREATE INDEX concession_by_expiry ON concession (expires_us);
