#include "throughcure/draw/paint_cairo.hpp"

#include <cstdint>
#include <cstring>
#include <memory>
#include <string>
#include <variant>

#include "throughcure/base/problem.hpp"
#include "throughcure/draw/type_face.hpp"

namespace throughcure::draw {

namespace {

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using SurfacePtr = std::unique_ptr<cairo_surface_t, Destroy>;

/// What is set inside holds for one mark only.
class Saved {
 public:
  explicit Saved(cairo_t* c) : c_(c) { cairo_save(c_); }
  Saved(const Saved&) = delete;
  Saved& operator=(const Saved&) = delete;
  ~Saved() { cairo_restore(c_); }

 private:
  cairo_t* c_;
};

void set_colour(cairo_t* c, const Colour& colour) {
  cairo_set_source_rgba(c, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0, colour.alpha / 255.0);
}

void trace(cairo_t* c, const Line& line, bool closed) {
  cairo_new_sub_path(c);
  for (const Place& place : line) cairo_line_to(c, place.x_mm, place.y_mm);
  if (closed) cairo_close_path(c);
}

void paint_mark(cairo_t* c, const Stroke& stroke) {
  trace(c, stroke.line, stroke.closed);
  cairo_set_line_width(c, stroke.width_mm);
  cairo_set_line_cap(c, stroke.dashes_mm.empty() ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
  cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
  if (!stroke.dashes_mm.empty()) {
    cairo_set_dash(c, stroke.dashes_mm.data(), static_cast<int>(stroke.dashes_mm.size()), 0);
  }
  set_colour(c, stroke.colour);
  cairo_stroke(c);
}

void paint_mark(cairo_t* c, const Polygon& polygon) {
  for (const Line& ring : polygon.rings) trace(c, ring, true);
  cairo_set_fill_rule(c, CAIRO_FILL_RULE_EVEN_ODD);
  set_colour(c, polygon.colour);
  cairo_fill(c);
}

/// One pixel as cairo keeps it: premultiplied, in one word.
std::uint32_t word_of(const Colour& colour) {
  const auto share = [&](std::uint8_t v) { return static_cast<std::uint32_t>((v * colour.alpha + 127) / 255); };
  return std::uint32_t{colour.alpha} << 24 | share(colour.red) << 16 | share(colour.green) << 8 | share(colour.blue);
}

void paint_mark(cairo_t* c, const Raster& raster) {
  if (raster.columns == 0 || raster.rows == 0) return;
  const SurfacePtr image(
      cairo_image_surface_create(CAIRO_FORMAT_ARGB32, static_cast<int>(raster.columns), static_cast<int>(raster.rows)));
  if (cairo_surface_status(image.get()) != CAIRO_STATUS_SUCCESS) {
    throw base::Failure("a raster of " + std::to_string(raster.columns) + " x " + std::to_string(raster.rows) +
                        " pixels cannot be painted: " + cairo_status_to_string(cairo_surface_status(image.get())));
  }
  cairo_surface_flush(image.get());
  unsigned char* row = cairo_image_surface_get_data(image.get());
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(image.get()));
  for (std::size_t j = 0; j < raster.rows; ++j, row += stride) {
    for (std::size_t i = 0; i < raster.columns; ++i) {
      const std::uint32_t word = word_of(raster.colour[j * raster.columns + i]);
      std::memcpy(row + 4 * i, &word, sizeof word);
    }
  }
  cairo_surface_mark_dirty(image.get());
  if (!raster.clip.empty()) {
    trace(c, raster.clip, true);
    cairo_clip(c);
  }
  cairo_translate(c, raster.top_left.x_mm, raster.top_left.y_mm);
  cairo_scale(c, raster.width_mm / static_cast<double>(raster.columns),
              raster.height_mm / static_cast<double>(raster.rows));
  cairo_set_source_surface(c, image.get(), 0, 0);
  cairo_pattern_set_filter(cairo_get_source(c), CAIRO_FILTER_GOOD);
  cairo_pattern_set_extend(cairo_get_source(c),
                           CAIRO_EXTEND_PAD);  // no pale rim from half-covered pixels
  cairo_rectangle(c, 0, 0, static_cast<double>(raster.columns), static_cast<double>(raster.rows));
  cairo_fill(c);
}

void paint_mark(cairo_t* c, const Shading& shading) {
  cairo_new_path(c);
  for (const Line& ring : shading.clip) trace(c, ring, true);
  cairo_set_fill_rule(c, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_clip(c);
  for (const Polygon& area : shading.areas) paint_mark(c, area);
}

void paint_mark(cairo_t* c, const Text& text) {
  const LayoutPtr layout = type_layout(c);
  set_type_size(layout.get(), text.size_mm);
  pango_layout_set_text(layout.get(), text.words.data(), static_cast<int>(text.words.size()));
  int width = 0;
  pango_layout_get_size(layout.get(), &width, nullptr);
  const double wide = static_cast<double>(width) / PANGO_SCALE;
  const double start = text.align == Align::kStart ? 0 : text.align == Align::kMiddle ? -wide / 2 : -wide;
  const double base_line = static_cast<double>(pango_layout_get_baseline(layout.get())) / PANGO_SCALE;
  cairo_translate(c, text.at.x_mm, text.at.y_mm);
  cairo_rotate(c, text.turn_rad);
  cairo_move_to(c, start, -base_line);
  if (text.halo.alpha > 0) {
    pango_cairo_layout_path(c, layout.get());
    cairo_set_line_width(c, text.size_mm * 0.5);
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    set_colour(c, text.halo);
    cairo_stroke(c);
    cairo_move_to(c, start, -base_line);
  }
  set_colour(c, text.colour);
  pango_cairo_show_layout(c, layout.get());
}

}  // namespace

void paint(cairo_t* context, const Picture& picture, double units_per_mm) {
  const Saved whole(context);
  cairo_scale(context, units_per_mm, units_per_mm);
  set_colour(context, picture.paper);
  cairo_paint(context);  // also the part of a pixel that the sheet's edge leaves over
  for (const Mark& mark : picture.marks) {
    const Saved one(context);
    std::visit([&](const auto& what) { paint_mark(context, what); }, mark);
  }
  const cairo_status_t status = cairo_status(context);
  if (status != CAIRO_STATUS_SUCCESS) {
    throw base::Failure(std::string("the picture cannot be painted: ") + cairo_status_to_string(status));
  }
}

}  // namespace throughcure::draw
