-- SPDX-License-Identifier: Apache-2.0
-- From when on a station's clock stood how far from UTC: summer time and moves change it.

CREATE TABLE local_time (
  station TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  since_us INTEGER NOT NULL,
  offset_min INTEGER NOT NULL,
  PRIMARY KEY (station, generation, seq)
) STRICT, WITHOUT ROWID;
