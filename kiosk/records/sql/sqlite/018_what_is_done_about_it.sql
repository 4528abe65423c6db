-- SPDX-License-Identifier: Apache-2.0
-- Answers before the opinion, or several by one touch; reactions to a defect that comes too often,
-- calls for help, and what the place of the look was found to be.

ALTER TABLE step_answer ADD COLUMN drawn INTEGER NOT NULL DEFAULT 0;
ALTER TABLE step_answer ADD COLUMN together INTEGER NOT NULL DEFAULT 0;

CREATE TABLE reaction (
  reaction TEXT NOT NULL,
  station TEXT NOT NULL,
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  plan TEXT NOT NULL,
  defect TEXT NOT NULL,
  component TEXT NOT NULL,
  times INTEGER NOT NULL,
  in_units INTEGER NOT NULL,
  raised_us INTEGER NOT NULL,
  settled_us INTEGER NOT NULL,
  settled_by TEXT NOT NULL,
  why TEXT NOT NULL,
  PRIMARY KEY (reaction)
) STRICT, WITHOUT ROWID;
CREATE INDEX reaction_by_time ON reaction (raised_us);
CREATE INDEX reaction_open ON reaction (raised_us) WHERE settled_us = 0;

CREATE TABLE help_call (
  help TEXT NOT NULL,
  station TEXT NOT NULL,
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  look TEXT NOT NULL,
  called_us INTEGER NOT NULL,
  came_us INTEGER NOT NULL,
  PRIMARY KEY (help)
) STRICT, WITHOUT ROWID;
CREATE INDEX help_not_come ON help_call (station) WHERE came_us = 0;
CREATE INDEX help_by_date ON help_call (production_date);

CREATE TABLE viewing_check (
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  station TEXT NOT NULL,
  journal TEXT NOT NULL,
  seq INTEGER NOT NULL,
  lamp INTEGER NOT NULL,
  lux INTEGER NOT NULL,
  distance INTEGER NOT NULL,
  allowed_by TEXT NOT NULL,
  checked_us INTEGER NOT NULL,
  PRIMARY KEY (production_date, shift, station, journal, seq)
) STRICT, WITHOUT ROWID;
