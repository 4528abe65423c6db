-- SPDX-License-Identifier: Apache-2.0
-- Form 2 of a plant's store in one file: pictures, in the parts in which they came.

ALTER TABLE plant_journal ADD COLUMN pictures_to INTEGER NOT NULL DEFAULT 0;

CREATE TABLE plant_picture (
  journal TEXT NOT NULL,
  picture TEXT NOT NULL,
  bytes INTEGER NOT NULL,
  whole INTEGER NOT NULL,
  PRIMARY KEY (journal, picture)
) STRICT, WITHOUT ROWID;

CREATE TABLE plant_picture_part (
  id INTEGER PRIMARY KEY,
  journal TEXT NOT NULL,
  picture TEXT NOT NULL,
  at INTEGER NOT NULL,
  bytes BLOB NOT NULL,
  UNIQUE (journal, picture, at)
) STRICT;
