-- SPDX-License-Identifier: Apache-2.0
-- What one shift wrote for the next.

CREATE TABLE handover_note (
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  station TEXT NOT NULL,
  journal TEXT NOT NULL,
  seq INTEGER NOT NULL,
  noted_us INTEGER NOT NULL,
  note TEXT NOT NULL,
  PRIMARY KEY (production_date, shift, station, journal, seq)
) STRICT, WITHOUT ROWID;
