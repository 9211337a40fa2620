#include "throughcure/draw/paint_png.hpp"

#include <cmath>
#include <memory>

#include <cairo.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/draw/paint_cairo.hpp"

namespace throughcure::draw {

namespace {

void refuse(cairo_status_t status) {
  if (status == CAIRO_STATUS_SUCCESS) return;
  throw base::Failure(std::string("the picture cannot be painted: ") + cairo_status_to_string(status));
}

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
};

/// Called by cairo, which is C: nothing may be thrown through it.
cairo_status_t append(void* to, const unsigned char* bytes, unsigned int count) noexcept {
  try {
    static_cast<std::string*>(to)->append(bytes, bytes + count);
    return CAIRO_STATUS_SUCCESS;
  } catch (...) {
    return CAIRO_STATUS_NO_MEMORY;
  }
}

}  // namespace

std::string paint_png(const Picture& picture, double pixels_per_mm) {
  const auto pixels = [&](double mm) { return static_cast<int>(std::ceil(mm * pixels_per_mm - 1e-6)); };
  const std::unique_ptr<cairo_surface_t, Destroy> surface(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels(picture.width_mm), pixels(picture.height_mm)));
  refuse(cairo_surface_status(surface.get()));
  const std::unique_ptr<cairo_t, Destroy> context(cairo_create(surface.get()));
  paint(context.get(), picture, pixels_per_mm);
  cairo_surface_flush(surface.get());
  std::string bytes;
  refuse(cairo_surface_write_to_png_stream(surface.get(), append, &bytes));
  return bytes;
}

}  // namespace throughcure::draw
