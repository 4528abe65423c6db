// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/fonts.h"

#include <fmt/format.h>
#include <imgui_freetype.h>

#include <filesystem>

#include "kiosk/commands/places.h"

namespace lastlook::app {
namespace {

constexpr const char* inter_folder = "/usr/share/fonts/opentype/inter";

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
  const auto han_folder = commands::beside_program("assets/fonts");
  if (!han_folder) return tl::unexpected(han_folder.error());
  ImFontGlyphRangesBuilder builder;
  builder.AddRanges(always);
  builder.AddText(characters.c_str());
  ImVector<ImWchar> ranges;
  builder.BuildRanges(&ranges);
  atlas.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
  std::string missing;
  const auto add = [&](const std::filesystem::path& file, float size_px, bool merge) -> ImFont* {
    if (!std::filesystem::exists(file)) missing = file;
    if (!missing.empty()) return nullptr;
    ImFontConfig config;
    config.OversampleH = 1;
    config.MergeMode = merge;
    return atlas.AddFontFromFileTTF(file.c_str(), size_px, &config, ranges.Data);
  };
  // What both have is Inter's.
  const auto load = [&](const char* inter, const char* han, float size_px) -> ImFont* {
    ImFont* font = add(std::filesystem::path(inter_folder) / inter, size_px, false);
    return add(*han_folder / han, size_px, true) ? font : nullptr;
  };
  std::vector<screens::Scale> scales;
  bool all_loaded = true;
  for (const screens::Sizes& sizes : all) {
    const screens::Fonts fonts{load("Inter-Medium.otf", "LastlookHan-Regular.otf", sizes.text_px),
                               load("Inter-SemiBold.otf", "LastlookHan-Bold.otf", sizes.strong_px),
                               load("Inter-Bold.otf", "LastlookHan-Bold.otf", sizes.huge_px)};
    all_loaded = all_loaded && fonts.text && fonts.strong && fonts.huge;
    scales.push_back({sizes, fonts});
  }
  if (!missing.empty())
    return fail(
        Category::not_found,
        fmt::format("{}: no such font file (Inter is the Debian package fonts-inter)", missing));
  // Built here, while the ranges live.
  if (!all_loaded || !atlas.Build())
    return fail(Category::io, fmt::format("the fonts in {} and {} could not be read", inter_folder,
                                          han_folder->string()));
  return scales;
}

}  // namespace lastlook::app
