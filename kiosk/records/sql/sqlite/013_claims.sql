-- SPDX-License-Identifier: Apache-2.0
-- What came back from the field, and what it says of the last look.

CREATE TABLE claim (
  serial TEXT NOT NULL,
  claim TEXT NOT NULL,
  station TEXT NOT NULL,
  reported TEXT NOT NULL,
  complaint TEXT NOT NULL,
  opened_us INTEGER NOT NULL,
  verdict TEXT,
  component TEXT NOT NULL,
  defect TEXT NOT NULL,
  why TEXT NOT NULL,
  judged_us INTEGER NOT NULL,
  PRIMARY KEY (serial, claim, station)
) STRICT, WITHOUT ROWID;
