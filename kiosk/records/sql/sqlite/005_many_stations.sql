-- SPDX-License-Identifier: Apache-2.0
-- Rows that stay apart when many stations' journals are in one store. All rows are made again from
-- the journal in the transaction in which this runs.

ALTER TABLE station_state ADD COLUMN wall_us INTEGER NOT NULL DEFAULT 0;
ALTER TABLE station_state ADD COLUMN offset_min INTEGER NOT NULL DEFAULT 0;

DROP TABLE master;
CREATE TABLE master (
  station TEXT NOT NULL,
  revision INTEGER NOT NULL,
  approved_by TEXT NOT NULL,
  document TEXT NOT NULL,
  journal TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  PRIMARY KEY (station, revision)
) STRICT, WITHOUT ROWID;

DROP TABLE unit;
CREATE TABLE unit (
  serial TEXT NOT NULL,
  disputed INTEGER NOT NULL,
  PRIMARY KEY (serial)
) STRICT, WITHOUT ROWID;

CREATE TABLE unit_build (
  serial TEXT NOT NULL,
  station TEXT NOT NULL,
  variant TEXT NOT NULL,
  built_us INTEGER NOT NULL,
  PRIMARY KEY (serial, station)
) STRICT, WITHOUT ROWID;

DROP TABLE upstream_result;
CREATE TABLE upstream_result (
  serial TEXT NOT NULL,
  station TEXT NOT NULL,
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
  PRIMARY KEY (serial, station, nth)
) STRICT, WITHOUT ROWID;

CREATE TABLE correction (
  look TEXT NOT NULL,
  nth INTEGER NOT NULL,
  before TEXT NOT NULL,
  after TEXT NOT NULL,
  why_before TEXT NOT NULL,
  why TEXT NOT NULL,
  person TEXT NOT NULL,
  corrected_us INTEGER NOT NULL,
  PRIMARY KEY (look, nth)
) STRICT, WITHOUT ROWID;

DROP TABLE concession;
CREATE TABLE concession (
  station TEXT NOT NULL,
  number TEXT NOT NULL,
  authority TEXT NOT NULL,
  variant TEXT NOT NULL,
  component TEXT NOT NULL,
  defect TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  expires_us INTEGER NOT NULL,
  used INTEGER NOT NULL,
  PRIMARY KEY (station, number)
) STRICT, WITHOUT ROWID;
