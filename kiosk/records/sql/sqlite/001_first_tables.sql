-- SPDX-License-Identifier: Apache-2.0
-- The journal, and the tables that the projector keeps (described in tables.h).

CREATE TABLE entry (
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

CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of a journal is never changed'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of a journal is never deleted'); END;

CREATE TABLE station_state (
  journal TEXT NOT NULL,
  station TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  hash TEXT NOT NULL,
  master_revision INTEGER NOT NULL,
  signed_seq INTEGER NOT NULL,
  PRIMARY KEY (journal)
) STRICT, WITHOUT ROWID;

CREATE TABLE master (
  revision INTEGER NOT NULL,
  approved_by TEXT NOT NULL,
  document TEXT NOT NULL,
  journal TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  PRIMARY KEY (revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE unit (
  serial TEXT NOT NULL,
  variant TEXT NOT NULL,
  results INTEGER NOT NULL,
  disputed INTEGER NOT NULL,
  PRIMARY KEY (serial)
) STRICT, WITHOUT ROWID;

CREATE TABLE unit_look (
  serial TEXT NOT NULL,
  look TEXT NOT NULL,
  PRIMARY KEY (serial, look)
) STRICT, WITHOUT ROWID;

CREATE TABLE upstream_result (
  serial TEXT NOT NULL,
  nth INTEGER NOT NULL,
  test TEXT NOT NULL,
  passed INTEGER NOT NULL,
  value TEXT NOT NULL,
  measured_us INTEGER NOT NULL,
  arrived_us INTEGER NOT NULL,
  on_paper INTEGER NOT NULL,
  first_person TEXT NOT NULL,
  second_person TEXT NOT NULL,
  voided_by TEXT NOT NULL,
  PRIMARY KEY (serial, nth)
) STRICT, WITHOUT ROWID;

CREATE TABLE look (
  look TEXT NOT NULL,
  journal TEXT NOT NULL,
  station TEXT NOT NULL,
  serial TEXT NOT NULL,
  ticket TEXT NOT NULL,
  number INTEGER NOT NULL,
  variant TEXT NOT NULL,
  variant_source TEXT NOT NULL,
  tag_type TEXT NOT NULL,
  revision INTEGER NOT NULL,
  state TEXT NOT NULL,
  opened_us INTEGER NOT NULL,
  parked_us INTEGER NOT NULL,
  closed_us INTEGER NOT NULL,
  park_reason TEXT NOT NULL,
  disposition TEXT,
  why TEXT NOT NULL,
  concession TEXT NOT NULL,
  closed_by TEXT NOT NULL,
  closed_seq INTEGER NOT NULL,
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  quarter INTEGER NOT NULL,
  PRIMARY KEY (look)
) STRICT, WITHOUT ROWID;

CREATE TABLE open_look_entry (
  look TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  journal TEXT NOT NULL,
  PRIMARY KEY (look, generation, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE waiting (
  look TEXT NOT NULL,
  serial TEXT NOT NULL,
  ticket TEXT NOT NULL,
  variant TEXT NOT NULL,
  why TEXT NOT NULL,
  parked INTEGER NOT NULL,
  since_us INTEGER NOT NULL,
  PRIMARY KEY (look)
) STRICT, WITHOUT ROWID;

CREATE TABLE step_answer (
  look TEXT NOT NULL,
  component TEXT NOT NULL,
  answer TEXT NOT NULL,
  first_answer TEXT NOT NULL,
  opinion_shown TEXT NOT NULL,
  corrections INTEGER NOT NULL,
  person TEXT NOT NULL,
  answered_us INTEGER NOT NULL,
  PRIMARY KEY (look, component)
) STRICT, WITHOUT ROWID;

CREATE TABLE finding (
  look TEXT NOT NULL,
  finding TEXT NOT NULL,
  component TEXT NOT NULL,
  defect TEXT NOT NULL,
  severity TEXT NOT NULL,
  place_x REAL,
  place_y REAL,
  picture TEXT NOT NULL,
  note TEXT NOT NULL,
  person TEXT NOT NULL,
  found_us INTEGER NOT NULL,
  withdrawn INTEGER NOT NULL,
  withdrawn_why TEXT NOT NULL,
  first_look TEXT NOT NULL,
  PRIMARY KEY (look, finding)
) STRICT, WITHOUT ROWID;

CREATE TABLE opinion (
  look TEXT NOT NULL,
  component TEXT NOT NULL,
  opinion TEXT NOT NULL,
  conforming TEXT NOT NULL,
  score REAL,
  reason TEXT NOT NULL,
  reason_value REAL,
  x REAL,
  y REAL,
  w REAL,
  h REAL,
  frame INTEGER NOT NULL,
  model TEXT NOT NULL,
  picture TEXT NOT NULL,
  given_us INTEGER NOT NULL,
  PRIMARY KEY (look, component)
) STRICT, WITHOUT ROWID;

CREATE TABLE concession (
  number TEXT NOT NULL,
  authority TEXT NOT NULL,
  variant TEXT NOT NULL,
  component TEXT NOT NULL,
  defect TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  expires_us INTEGER NOT NULL,
  used INTEGER NOT NULL,
  PRIMARY KEY (number)
) STRICT, WITHOUT ROWID;

CREATE TABLE count_look (
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  quarter INTEGER NOT NULL,
  station TEXT NOT NULL,
  variant TEXT NOT NULL,
  looks INTEGER NOT NULL,
  first_looks INTEGER NOT NULL,
  first_pass INTEGER NOT NULL,
  accept INTEGER NOT NULL,
  rework INTEGER NOT NULL,
  hold INTEGER NOT NULL,
  scrap INTEGER NOT NULL,
  PRIMARY KEY (production_date, shift, quarter, station, variant)
) STRICT, WITHOUT ROWID;

CREATE TABLE count_defect (
  production_date TEXT NOT NULL,
  shift TEXT NOT NULL,
  quarter INTEGER NOT NULL,
  station TEXT NOT NULL,
  variant TEXT NOT NULL,
  component TEXT NOT NULL,
  defect TEXT NOT NULL,
  severity TEXT NOT NULL,
  findings INTEGER NOT NULL,
  units INTEGER NOT NULL,
  PRIMARY KEY (production_date, shift, quarter, station, variant, component, defect, severity)
) STRICT, WITHOUT ROWID;

CREATE INDEX look_by_ticket ON look (ticket) WHERE ticket <> '';
