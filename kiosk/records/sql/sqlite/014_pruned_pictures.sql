-- SPDX-License-Identifier: Apache-2.0
-- Pictures whose bytes were taken away to make room.

CREATE TABLE pruned_picture (
  picture TEXT NOT NULL,
  station TEXT NOT NULL,
  pruned_us INTEGER NOT NULL,
  PRIMARY KEY (picture, station)
) STRICT, WITHOUT ROWID;
