// SPDX-License-Identifier: Apache-2.0
#include "kiosk/text/languages.h"

#include <fmt/format.h>

#include <algorithm>
#include <ranges>
#include <system_error>

#include "kiosk/text/pseudo.h"

namespace lastlook::text {
namespace {

bool is_code(const std::string& name) {
  return name.size() == 2 && std::ranges::all_of(name, [](char c) { return c >= 'a' && c <= 'z'; });
}

}  // namespace

Result<Languages> Languages::load(const std::filesystem::path& folder, const std::string& usual) {
  Languages languages;
  std::error_code unreadable;
  std::filesystem::directory_iterator file(folder, unreadable), end;
  for (; !unreadable && file != end; file.increment(unreadable)) {
    const std::string code = file->path().stem().string();
    if (file->path().extension() != ".json" || !is_code(code)) continue;
    auto strings = Strings::load(file->path());
    if (!strings) return tl::unexpected(strings.error());
    languages.all_.emplace(code, std::move(*strings));
  }
  if (unreadable)
    return fail(Category::not_found,
                fmt::format("{}: cannot be read: {}", folder.string(), unreadable.message()));
  languages.usual_ = usual;
  if (const auto english = languages.all_.find("en");
      usual == pseudo_code && english != languages.all_.end())
    languages.pseudo_ = pseudo(english->second);
  else if (!languages.all_.contains(usual))
    return fail(Category::not_found,
                fmt::format("language '{}': expected one of {} (files in {})", usual,
                            fmt::join(std::views::keys(languages.all_), ", "), folder.string()));
  return languages;
}

const Strings& Languages::in(const std::string& language) const {
  const auto found = all_.find(language);
  if (found != all_.end()) return found->second;
  return pseudo_ ? *pseudo_ : all_.at(usual_);
}

}  // namespace lastlook::text
