// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/photograph.h"

#include <glib.h>

#include <cstring>
#include <memory>
#include <optional>
#include <span>
#include <string_view>

namespace lastlook::reports {
namespace {

using Bytes = std::span<const unsigned char>;
using Surface = std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)>;

struct Size {
  int width, height;
};

// ITU T.81, B.1.1 and B.2.2: segments of a marker and a length, until one that begins a frame.
std::optional<Size> jpeg_size(Bytes bytes) {
  const auto word = [&](std::size_t at) { return bytes[at] << 8U | bytes[at + 1]; };
  std::size_t at = 2;
  while (at + 9 < bytes.size() && bytes[at] == 0xFF) {
    const unsigned marker = bytes[at + 1];
    const bool tables = marker == 0xC4 || marker == 0xC8 || marker == 0xCC;
    if (marker >= 0xC0 && marker <= 0xCF && !tables) return Size{word(at + 7), word(at + 5)};
    at += 2 + static_cast<std::size_t>(word(at + 2));
  }
  return std::nullopt;
}

cairo_status_t read_on(void* closure, unsigned char* into, unsigned length) {
  Bytes& left = *static_cast<Bytes*>(closure);
  if (left.size() < length) return CAIRO_STATUS_READ_ERROR;
  std::memcpy(into, left.data(), length);
  left = left.subspan(length);
  return CAIRO_STATUS_SUCCESS;
}

Surface from_png(Bytes bytes) {
  return {cairo_image_surface_create_from_png_stream(&read_on, &bytes), &cairo_surface_destroy};
}

// The PDF takes the bytes of the file; the surface only says how large the picture is.
Surface from_jpeg(Bytes bytes) {
  const std::optional<Size> size = jpeg_size(bytes);
  Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, size ? size->width : 0,
                                             size ? size->height : 0),
                  &cairo_surface_destroy);
  auto* copy = static_cast<unsigned char*>(g_memdup2(bytes.data(), bytes.size()));
  if (cairo_surface_set_mime_data(surface.get(), CAIRO_MIME_TYPE_JPEG, copy, bytes.size(), &g_free,
                                  copy) != CAIRO_STATUS_SUCCESS)
    g_free(copy);
  return surface;
}

}  // namespace

void paint_pale(cairo_t* cairo, const analytics::Picture& picture) {
  const std::size_t comma = picture.data_uri.find(',');
  if (comma == std::string::npos) return;
  const std::string_view kind = std::string_view(picture.data_uri).substr(0, comma);
  gsize length = 0;
  const std::unique_ptr<guchar, decltype(&g_free)> decoded(
      g_base64_decode(picture.data_uri.c_str() + comma + 1, &length), &g_free);
  const Bytes bytes(decoded.get(), length);
  const Surface surface = kind.find("png") == kind.npos ? from_jpeg(bytes) : from_png(bytes);
  const int width = cairo_image_surface_get_width(surface.get());
  const int height = cairo_image_surface_get_height(surface.get());
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS || width == 0 || height == 0)
    return;
  const analytics::Box& box = picture.box;
  cairo_save(cairo);
  cairo_translate(cairo, box.x, box.y);
  cairo_scale(cairo, box.width / width, box.height / height);
  cairo_set_source_surface(cairo, surface.get(), 0, 0);
  cairo_paint(cairo);
  cairo_restore(cairo);
  // As pale as in a page: 0.35 of the picture is left.
  cairo_set_source_rgba(cairo, 1, 1, 1, 0.65);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_fill(cairo);
}

}  // namespace lastlook::reports
