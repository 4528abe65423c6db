// SPDX-License-Identifier: Apache-2.0
// What the owner of a plant's store in PostgreSQL does once: makes it, and lets logins in.
#pragma once

#include <pqxx/transaction_base>
#include <string>

#include "analytics/result.h"

namespace lastlook::sync {

// Makes a store in a database that has none; whoever connects is its owner. One of an older form
// is brought to this program's. Returns the form that it had; 0: it was made. refused: there is one
// of this form already, it is another's, or the database's encoding is not UTF-8; newer.
Result<int> make_postgres(const std::string& address);

// What a login may do.
enum class Sends {
  station,  // send as a station
  office,   // the same, and what this station adopts as master data the others adopt too; one only
};

// Lets a login, which must exist, send as a station. refused: the login or the station is taken,
// there is an office already, or whoever asks does not own the store.
Status admit(const std::string& address, const std::string& login, const std::string& station,
             Sends sends = Sends::station);
Status admit(pqxx::transaction_base& work, const std::string& login, const std::string& station,
             Sends sends = Sends::station);

// Another station, or the first one, becomes the office. refused: no login sends as this station,
// or whoever asks does not own the store.
Status make_office(pqxx::transaction_base& work, const std::string& station);

// Lets a login, which must exist, insert into lastlook_plant.result, and nothing else.
Status admit_tester(const std::string& address, const std::string& login);

}  // namespace lastlook::sync
