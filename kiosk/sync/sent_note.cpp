// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/sent_note.h"

#include <fstream>
#include <nlohmann/json.hpp>
#include <span>

#include "kiosk/records/durable.h"

namespace lastlook::sync {

constexpr const char* file_name = "sent.json";

SentNote read_note(const std::filesystem::path& folder) {
  std::ifstream in(folder / file_name);
  const auto json = nlohmann::json::parse(in, nullptr, false);
  if (!json.is_object()) return {};
  try {
    return {json.at("journal").get<std::string>(), json.at("seq").get<std::int64_t>(),
            json.at("when_us").get<std::int64_t>(), json.at("offset_min").get<int>()};
  } catch (const nlohmann::json::exception&) {
    return {};
  }
}

Status write_note(const std::filesystem::path& folder, const SentNote& note) {
  const std::string text = nlohmann::json({{"journal", note.journal},
                                           {"seq", note.seq},
                                           {"when_us", note.when_us},
                                           {"offset_min", note.offset_min}})
                               .dump();
  return records::write_durably(
      folder / file_name,
      std::span(reinterpret_cast<const unsigned char*>(text.data()), text.size()));
}

}  // namespace lastlook::sync
