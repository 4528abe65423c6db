// SPDX-License-Identifier: Apache-2.0
// Names and PINs, in an erasable file outside journal and export.
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/words.h"

namespace lastlook::records {

struct Person {
  std::string id;  // pseudonymous, in the journal: "p-3f2a…"
  std::string name;
  domain::Role role = domain::Role::inspector;
  std::string language{};         // code, of the screens; empty: the station's
  std::string qualified_until{};  // last day of the eyesight test or certificate; empty: not kept
};

inline constexpr std::size_t shortest_badge = 8;  // characters

// A new one, that says nothing of who it is.
std::string new_person_id();

// bad_input: a PIN is 4 to 12 digits.
Status check_pin(const std::string& pin);

class People {
 public:
  static Result<std::unique_ptr<People>> open(const std::filesystem::path& folder);
  ~People();

  Result<std::vector<Person>> all();  // by name
  // Argon2id, 19 MiB, 2 passes: about 30 ms; call on a task thread. bad_input: a PIN is 4 to 12
  // digits.
  Status add(const Person& person, const std::string& pin);
  // True if the PIN is theirs. Costs the same for a person who is not there. Each try is on disk
  // before it is answered, so that pulling the plug forgets none.
  Result<bool> pin_is_right(const std::string& id, const std::string& pin);
  // Wrong PINs in a row, of those who have some, by id.
  Result<std::map<std::string, int>> wrong_pins();
  // In which language the screens speak to them; nothing for a person who is not there.
  Status speak(const std::string& id, const std::string& language);
  Status qualify(const std::string& id, const std::string& until);
  // What a badge says when it is scanned, kept as a keyed hash; empty: none any more. bad_input:
  // shorter than shortest_badge, so that nobody guesses it; refused: another person's.
  Status give_badge(const std::string& id, const std::string& code);
  // Whose badge it is; empty: nobody's here.
  Result<std::string> with_badge(const std::string& code);
  Status erase(const std::string& id);

 private:
  struct Inside;
  explicit People(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace lastlook::records
