-- SPDX-License-Identifier: Apache-2.0
-- Which model judges at a station, and which did before.

CREATE TABLE approved_model (
  station TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  journal TEXT NOT NULL,
  model TEXT NOT NULL,
  file TEXT NOT NULL,
  before TEXT NOT NULL,
  before_file TEXT NOT NULL,
  product TEXT NOT NULL,
  variants TEXT NOT NULL,
  pictures INTEGER NOT NULL,
  overlapping INTEGER NOT NULL,
  why TEXT NOT NULL,
  approved_by TEXT NOT NULL,
  approved_us INTEGER NOT NULL,
  PRIMARY KEY (station, generation, seq)
) STRICT, WITHOUT ROWID;
