// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/fonts.h"

#include <fmt/format.h>
#include <imgui_freetype.h>

#include <filesystem>

namespace lastlook::app {
namespace {

constexpr const char* folder = "/usr/share/fonts/opentype/inter";

constexpr ImWchar always[] = {
    0x0020, 0x007E,  // Basic Latin
    0x00A0, 0x024F,  // Latin-1 Supplement, Latin Extended-A and -B
    0x0370, 0x03FF,  // Greek
    0x2010, 0x2026,  // dashes, quotes, ellipsis
    0,
};

}  // namespace

Result<std::vector<screens::Scale>> load_fonts(ImFontAtlas& atlas,
                                               std::span<const screens::Sizes> all,
                                               const std::string& characters) {
  ImFontGlyphRangesBuilder builder;
  builder.AddRanges(always);
  builder.AddText(characters.c_str());
  ImVector<ImWchar> ranges;
  builder.BuildRanges(&ranges);
  atlas.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
  std::string missing;
  const auto load = [&](const char* file, float size_px) -> ImFont* {
    const std::string path = fmt::format("{}/{}", folder, file);
    if (!std::filesystem::exists(path)) missing = path;
    if (!missing.empty()) return nullptr;
    ImFontConfig config;
    config.OversampleH = 1;
    return atlas.AddFontFromFileTTF(path.c_str(), size_px, &config, ranges.Data);
  };
  std::vector<screens::Scale> scales;
  for (const screens::Sizes& sizes : all) {
    const screens::Fonts fonts{load("Inter-Medium.otf", sizes.text_px),
                               load("Inter-SemiBold.otf", sizes.strong_px),
                               load("Inter-Bold.otf", sizes.huge_px)};
    scales.push_back({sizes, fonts});
  }
  if (!missing.empty())
    return fail(Category::not_found,
                fmt::format("{}: no such font file (Debian package fonts-inter)", missing));
  // Built here, while the ranges live.
  if (!atlas.Build())
    return fail(Category::io, fmt::format("the fonts in {} could not be read", folder));
  return scales;
}

}  // namespace lastlook::app
