-- SPDX-License-Identifier: Apache-2.0
-- A plant's store in one file: the journals of all stations, as they were written.

CREATE TABLE plant_journal (
  journal TEXT NOT NULL PRIMARY KEY,
  station TEXT NOT NULL,
  came INTEGER NOT NULL,
  after_journal TEXT NOT NULL,
  after_seq INTEGER NOT NULL,
  head_seq INTEGER NOT NULL,
  head_hash BLOB NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE plant_entry (
  journal TEXT NOT NULL,
  seq INTEGER NOT NULL,
  stamp TEXT NOT NULL,
  actor TEXT NOT NULL,
  kind TEXT NOT NULL,
  version INTEGER NOT NULL,
  body TEXT NOT NULL,
  previous BLOB NOT NULL,
  hash BLOB NOT NULL,
  PRIMARY KEY (journal, seq)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER plant_entry_is_never_changed BEFORE UPDATE ON plant_entry
BEGIN SELECT RAISE(ABORT, 'an entry of a journal is never changed'); END;
CREATE TRIGGER plant_entry_is_never_deleted BEFORE DELETE ON plant_entry
BEGIN SELECT RAISE(ABORT, 'an entry of a journal is never deleted'); END;
