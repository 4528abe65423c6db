-- SPDX-License-Identifier: Apache-2.0
-- Where the approvals of models stand; what they say is in their entries.

DROP TABLE approved_model;
CREATE TABLE approved_model (
  station TEXT NOT NULL,
  generation INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  journal TEXT NOT NULL,
  PRIMARY KEY (station, generation, seq)
) STRICT, WITHOUT ROWID;
