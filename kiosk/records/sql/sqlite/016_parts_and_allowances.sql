-- SPDX-License-Identifier: Apache-2.0
-- The day on which a unit was made and the parts inside it; who may sign in for a limited time.

ALTER TABLE unit_build ADD COLUMN made TEXT NOT NULL DEFAULT '';

CREATE TABLE unit_part (
  serial TEXT NOT NULL,
  station TEXT NOT NULL,
  part TEXT NOT NULL,
  lot TEXT NOT NULL,
  fitted_us INTEGER NOT NULL,
  replaced_us INTEGER NOT NULL,
  PRIMARY KEY (serial, station, part, lot)
) STRICT, WITHOUT ROWID;
CREATE INDEX unit_part_by_lot ON unit_part (lot);

CREATE TABLE sign_in_allowance (
  station TEXT NOT NULL,
  person TEXT NOT NULL,
  despite TEXT NOT NULL,
  allowed_by TEXT NOT NULL,
  why TEXT NOT NULL,
  allowed_us INTEGER NOT NULL,
  until_us INTEGER NOT NULL,
  PRIMARY KEY (station, person, despite)
) STRICT, WITHOUT ROWID;
