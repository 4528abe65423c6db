-- SPDX-License-Identifier: Apache-2.0
-- Holds that were released: by whom, with whom, and why.

CREATE TABLE hold_release (
  look TEXT NOT NULL PRIMARY KEY,
  serial TEXT NOT NULL,
  station TEXT NOT NULL,
  released_us INTEGER NOT NULL,
  person TEXT NOT NULL,
  second_person TEXT NOT NULL,
  why TEXT NOT NULL
) STRICT, WITHOUT ROWID;
