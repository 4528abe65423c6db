// SPDX-License-Identifier: Apache-2.0
// Bodies of entries as JSON.
#include <fmt/format.h>

#include <map>
#include <string_view>
#include <utility>
#include <variant>

#include "kiosk/records/entry.h"
#include "kiosk/records/happening_fields.h"
#include "kiosk/records/json_fields.h"
#include "kiosk/records/upcast.h"

namespace lastlook::records {
namespace {

using domain::Happening;
using Read = Result<Happening> (*)(const Json& body);

template <class Kind>
Result<Happening> read(const Json& body) {
  Kind happening;
  JsonReader io(body);
  fields(io, happening);
  if (!io.error().empty()) return fail(Category::damaged, io.error());
  return happening;
}

template <std::size_t... Index>
std::map<std::string_view, Read> all_readers(std::index_sequence<Index...>) {
  return {{domain::kind_of(std::variant_alternative_t<Index, Happening>{}),
           read<std::variant_alternative_t<Index, Happening>>}...};
}

const std::map<std::string_view, Read>& readers() {
  static const auto all = all_readers(std::make_index_sequence<std::variant_size_v<Happening>>());
  return all;
}

}  // namespace

std::string encode(const Happening& happening) {
  Json body = Json::object();
  JsonWriter io(body);
  std::visit([&](const auto& one) { fields(io, one); }, happening);
  return write_json(body);
}

std::int64_t newest_version(const Happening& happening) {
  return newest_version(domain::kind_of(happening), upcasters());
}

Result<Happening> decode(const Entry& entry) {
  const auto reader = readers().find(entry.kind);
  if (reader == readers().end())
    return fail(Category::damaged,
                fmt::format("'{}' is no kind of entry that this program knows", entry.kind));
  Json body = Json::parse(entry.body, nullptr, false);
  if (!body.is_object())
    return fail(Category::damaged, fmt::format("the body of {} is no JSON object", entry.kind));
  if (Status done = upcast(body, entry.kind, entry.version, upcasters()); !done)
    return tl::unexpected(done.error());
  auto happening = reader->second(body);
  if (!happening)
    return fail(happening.error().category, fmt::format("{} version {}: {}", entry.kind,
                                                        entry.version, happening.error().message));
  return happening;
}

}  // namespace lastlook::records
