-- SPDX-License-Identifier: Apache-2.0
-- Blind second looks: looks that no count of production sees, and what each draw came to.

ALTER TABLE look ADD COLUMN second_of TEXT NOT NULL DEFAULT '';

CREATE TABLE second_look (
  serial TEXT NOT NULL,
  look TEXT NOT NULL,
  station TEXT NOT NULL,
  variant TEXT NOT NULL,
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  rate REAL,
  number REAL,
  first TEXT NOT NULL,
  first_by TEXT NOT NULL,
  drawn_us INTEGER NOT NULL,
  state TEXT NOT NULL,
  second_look TEXT NOT NULL,
  second TEXT,
  second_by TEXT NOT NULL,
  done_us INTEGER NOT NULL,
  PRIMARY KEY (serial, look)
) STRICT, WITHOUT ROWID;

CREATE INDEX second_look_by_date ON second_look (production_date, shift);
