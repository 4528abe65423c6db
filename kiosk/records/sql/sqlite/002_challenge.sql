-- SPDX-License-Identifier: Apache-2.0
-- Challenge parts under the camera, and the proofs that come of them.

CREATE TABLE showing (
  showing TEXT NOT NULL,
  journal TEXT NOT NULL,
  station TEXT NOT NULL,
  part TEXT NOT NULL,
  variant TEXT NOT NULL,
  state TEXT NOT NULL,
  shown_us INTEGER NOT NULL,
  ended_us INTEGER NOT NULL,
  shown_by TEXT NOT NULL,
  why_left TEXT NOT NULL,
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  model TEXT NOT NULL,
  picture TEXT NOT NULL,
  proof TEXT NOT NULL,
  unmet INTEGER NOT NULL,
  PRIMARY KEY (showing)
) STRICT, WITHOUT ROWID;

CREATE TABLE showing_opinion (
  showing TEXT NOT NULL,
  component TEXT NOT NULL,
  opinion TEXT NOT NULL,
  conforming TEXT NOT NULL,
  score REAL,
  reason TEXT NOT NULL,
  reason_value REAL,
  met INTEGER NOT NULL,
  PRIMARY KEY (showing, component)
) STRICT, WITHOUT ROWID;

CREATE TABLE proof_entry (
  station TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  journal TEXT NOT NULL,
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  PRIMARY KEY (station, generation, seq)
) STRICT, WITHOUT ROWID;

CREATE INDEX showing_by_part ON showing (part, ended_us);
CREATE INDEX look_by_close ON look (station, variant, closed_us);
