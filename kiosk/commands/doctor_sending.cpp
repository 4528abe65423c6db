// SPDX-License-Identifier: Apache-2.0
// What waits to go to the plant's store, since when, and whether the store is there.
#include <fmt/format.h>
#include <sys/stat.h>

#include <cstdlib>

#include "kiosk/commands/checkup.h"
#include "kiosk/sync/plant_store.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/sent_note.h"

namespace lastlook::commands {
namespace {

namespace fs = std::filesystem;

constexpr std::int64_t day_us = 24LL * 3600 * 1'000'000;

struct NotSent {
  std::int64_t entries = 0;
  std::int64_t since_us = 0;  // of the first of them
};

// By what the station remembers of its last sending.
Result<NotSent> not_sent(records::Records& station, const sync::SentNote& note) {
  NotSent left;
  const std::int64_t from = note.journal == station.journal() ? note.seq + 1 : 1;
  const Status read =
      station.store().entries(station.journal(), from, [&](const records::Entry& entry) {
        if (++left.entries > 1) return true;
        if (const auto stamp = records::read_stamp(entry.stamp))
          left.since_us = stamp->reading.wall_us;
        return true;
      });
  if (!read) return tl::unexpected(read.error());
  return left;
}

std::string last_sent(const sync::SentNote& note) {
  if (note.when_us == 0) return "nothing was ever sent";
  return "last sent " + domain::iso_time(note.when_us, note.offset_min);
}

// libpq passes over a file of passwords that others can read, and then none is given.
bool passwords_can_be_read() {
  const char* named = std::getenv("PGPASSFILE");
  const char* home = std::getenv("HOME");
  if (!named && !home) return false;
  struct stat about {};
  const std::string file = named ? named : std::string(home) + "/.pgpass";
  return stat(file.c_str(), &about) == 0 && (about.st_mode & 0077) != 0;
}

bool holds_password(const std::string& address) {
  if (address.find("password=") != std::string::npos) return true;
  const std::size_t begin = address.find("//"), at = address.find('@');
  if (begin == std::string::npos || at == std::string::npos) return false;
  return address.substr(begin + 2, at - begin - 2).find(':') != std::string::npos;
}

}  // namespace

Check check_sending(const Patient& patient) {
  const char* what = "sending";
  const sync::SentNote note = sync::read_note(patient.dir);
  if (note.when_us == 0) return well(what, "nothing was ever sent: a station of its own");
  if (!patient.records)
    return look_at(what, last_sent(note) + "; what waits is not known without the records",
                   "see to the records first");
  const auto left = not_sent(*patient.records, note);
  if (!left) return from_error(what, Outcome::broken, left.error(), "see to the records first");
  if (left->entries == 0) return well(what, last_sent(note) + ", nothing waits");
  const std::int64_t waits_us = patient.now.wall_us - left->since_us;
  const std::string found =
      fmt::format("{}, {} entries wait since {}", last_sent(note), left->entries,
                  domain::iso_time(left->since_us, patient.now.offset_min));
  if (waits_us < day_us) return well(what, found);
  return look_at(what, found, "ask for the store with --send-to, as the kiosk has it");
}

Check check_store(const Patient& patient) {
  const char* what = "store";
  const bool server = patient.send_to.starts_with("postgresql:");
  if (server && holds_password(patient.send_to))
    return broken(what, "the address holds a password, which every user of this machine can read",
                  "put the password into ~/.pgpass (mode 0600)");
  if (server && passwords_can_be_read())
    return broken(what, "the file of passwords can be read by others, and is passed over for that",
                  "run 'chmod 600 ~/.pgpass' as the kiosk's user");
  const auto plant = sync::open_plant_store(patient.send_to, false);
  const std::string ask = server ? "ask who looks after the network and the server"
                                 : "see whether the stick or the share is there";
  const sync::SentNote note = sync::read_note(patient.dir);
  if (!plant)
    return from_error(
        what, Outcome::broken,
        {plant.error().category, plant.error().message + " (" + last_sent(note) + ")"}, ask);
  if (!patient.records)
    return look_at(what, "is there; what waits is not known without the records",
                   "see to the records first");
  const auto left = sync::waiting(patient.records->store(), **plant);
  if (!left) {
    const bool other = left.error().category == Category::refused;
    return from_error(what, Outcome::broken, left.error(),
                      other ? fmt::format("run 'lastlook records verify --dir {} --plant {}'",
                                          shell_word(patient.dir), shell_word(patient.send_to))
                            : ask);
  }
  const std::string found = fmt::format("is there, {}; {} entries wait, {} of them close a look",
                                        last_sent(note), left->entries, left->looks);
  if (left->entries == 0)
    return well(what, fmt::format("is there and has everything, {}", last_sent(note)));
  const auto since = not_sent(*patient.records, note);
  const bool long_ago =
      since && since->entries > 0 && patient.now.wall_us - since->since_us > day_us;
  if (patient.in_use && !long_ago) return well(what, found);
  return look_at(what, found,
                 patient.in_use
                     ? "see what the kiosk says of sending on its waiting screen"
                     : fmt::format("run 'lastlook sync --dir {} --to {}', or start the "
                                   "kiosk with --send-to",
                                   shell_word(patient.dir), shell_word(patient.send_to)));
}

}  // namespace lastlook::commands
