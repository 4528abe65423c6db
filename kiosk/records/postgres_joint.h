// SPDX-License-Identifier: Apache-2.0
// The rows of several plant's stores, each on a server of its own, asked as if they were one: a
// database that holds no row itself and looks into the others by postgres_fdw, read only.
#pragma once

#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::records {

// Makes the joint view, or makes it anew with these stores, in one transaction. `stores`: addresses
// of logins that may read there (admit_reader()); a password in one is kept by the server, for
// whoever made the view. The extension postgres_fdw is there, or the login may make it.
// bad_input: no store; refused: rows of a plant's own are in this database, a store has no rows, or
// what the server says.
//
// Each store is asked as of an instant of its own. A unit's looks are in one store: looks of one
// serial in two of them are two first looks.
Status make_joint(const std::string& address, const std::vector<std::string>& stores);

}  // namespace lastlook::records
