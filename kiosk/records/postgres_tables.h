// SPDX-License-Identifier: Apache-2.0
// The tables of tables.h as PostgreSQL has them. Private to the records.
#pragma once

#include <string>

#include "kiosk/records/store.h"

namespace lastlook::records {

// Tables that grow by the calendar are cut into months, so that old ones can be taken away at once
// and a question about a week reads a week. They are those whose key begins with the production
// date: the counts.
//
// Rows of a look (answers, findings, opinions) are not cut: PostgreSQL holds a key unique in a
// partitioned table only if the key contains what the table is cut by, and these are written and
// found by the look's id alone, before its production date is known. For the same reason the row of
// a journal's head can never be in a partitioned table: that there is one for each journal, locked
// while it moves, is what "exactly once" rests on.
bool is_cut_by_month(const Table& table);

// The month's part of a table: "count_look_2026_11"; empty: `date` is no date, and the row goes
// into the part for those.
std::string month_part(const Table& table, const std::string& date);
std::string make_month_part(const Table& table, const std::string& date);

// CREATE statements for all tables and indexes. They name the number of the newest migration: one
// that changes no table, but what the rows mean, has these made anew too.
std::string make_tables();

// Of many rows at once, by one statement; parameters are arrays, one a column.
std::string put_all_sql(const Table& table);
std::string erase_all_sql(const Table& table);  // of the key's columns

}  // namespace lastlook::records
