-- SPDX-License-Identifier: Apache-2.0
-- The looks of a shift are found by its date, however many are on file.

CREATE INDEX look_by_date ON look (production_date);
