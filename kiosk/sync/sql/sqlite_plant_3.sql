-- SPDX-License-Identifier: Apache-2.0
-- Form 3 of a plant's store in one file: the station whose master data all others adopt.

CREATE TABLE plant_office (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  station TEXT NOT NULL
) STRICT;

CREATE INDEX plant_master ON plant_entry (journal, seq) WHERE kind = 'master_adopted';
