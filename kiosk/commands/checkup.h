// SPDX-License-Identifier: Apache-2.0
// What is looked at when somebody asks whether a station is well, and what came of it. Each check
// stands alone: what one cannot read keeps no other from being made.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "kiosk/domain/clock.h"
#include "kiosk/records/records.h"

namespace lastlook::commands {

enum class Outcome {
  well,
  look,    // somebody ought to look at it; the station works
  broken,  // the station does not work, or what it keeps is in danger
};

struct Check {
  std::string what;
  Outcome outcome = Outcome::well;
  std::string found;
  std::string mend;  // the one thing to do; empty where all is well
};

inline Check well(std::string what, std::string found) {
  return {std::move(what), Outcome::well, std::move(found), ""};
}
inline Check look_at(std::string what, std::string found, std::string mend) {
  return {std::move(what), Outcome::look, std::move(found), std::move(mend)};
}
inline Check broken(std::string what, std::string found, std::string mend) {
  return {std::move(what), Outcome::broken, std::move(found), std::move(mend)};
}

// The station that is looked at, and what is known of it beside its folder.
struct Patient {
  std::filesystem::path dir;
  std::string send_to;   // the plant's store; empty: not looked at
  std::string pictures;  // what the camera is; empty: not looked at
  std::string backups;   // the folder of its backups; empty: the one in its own
  std::unique_ptr<records::Records> records;  // open to read; null: check_records() says why
  bool in_use = false;                        // a kiosk, or another writer, has it open
  domain::Reading now;
};

// Of an error whose sentence ends with "; " and what to do: that is it. `mend` for all others.
Check from_error(std::string what, Outcome outcome, const Error& error, std::string mend);

std::string shell_word(
    const std::filesystem::path& path);   // one word for a shell that runs the line
std::string for_a_time(std::int64_t us);  // "3 hours", "12 days"

Check check_folder(const Patient& patient);
Check check_people(const Patient& patient);
Check check_disk(const Patient& patient);  // a local one, with room
Check check_writer(Patient& patient);      // sets in_use
Check check_records(Patient& patient);     // opens the records
Check check_backup(const Patient& patient);
Check check_clock(const Patient& patient);
Check check_time_zone();
Check check_model(const Patient& patient);
Check check_camera(const Patient& patient);
Check check_store(const Patient& patient);    // asks the store
Check check_sending(const Patient& patient);  // by what the station remembers itself

}  // namespace lastlook::commands
