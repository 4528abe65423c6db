-- SPDX-License-Identifier: Apache-2.0
-- What a plant's rows leave out. A station's have none of it.

CREATE TABLE stopped (
  journal TEXT NOT NULL,
  station TEXT NOT NULL,
  seq INTEGER NOT NULL,
  entries INTEGER NOT NULL,
  why TEXT NOT NULL,
  PRIMARY KEY (journal)
) STRICT, WITHOUT ROWID;
