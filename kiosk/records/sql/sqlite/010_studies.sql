-- SPDX-License-Identifier: Apache-2.0
-- Agreement studies and what was rated in them.

CREATE TABLE study (
  study TEXT NOT NULL,
  station TEXT NOT NULL,
  plan TEXT NOT NULL,
  planned_by TEXT NOT NULL,
  planned_us INTEGER NOT NULL,
  rated INTEGER NOT NULL,
  ended_us INTEGER NOT NULL,
  why_ended TEXT NOT NULL,
  PRIMARY KEY (study)
) STRICT, WITHOUT ROWID;

CREATE TABLE study_rating (
  study TEXT NOT NULL,
  nth INTEGER NOT NULL,
  person TEXT NOT NULL,
  trial INTEGER NOT NULL,
  item TEXT NOT NULL,
  rating TEXT NOT NULL,
  rated_us INTEGER NOT NULL,
  PRIMARY KEY (study, nth)
) STRICT, WITHOUT ROWID;
