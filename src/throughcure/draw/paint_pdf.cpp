#include "throughcure/draw/paint_pdf.hpp"

#include <memory>

#include <cairo-pdf.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/draw/paint_cairo.hpp"

namespace throughcure::draw {

namespace {

constexpr double kPointsPerMm = 72 / 25.4;

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
};

void refuse(cairo_status_t status) {
  if (status == CAIRO_STATUS_SUCCESS) return;
  throw base::Failure(std::string("the print cannot be made: ") + cairo_status_to_string(status));
}

/// Called by cairo, which is C: nothing may be thrown through it.
cairo_status_t append(void* to, const unsigned char* bytes, unsigned int count) noexcept {
  try {
    static_cast<std::string*>(to)->append(bytes, bytes + count);
    return CAIRO_STATUS_SUCCESS;
  } catch (...) {
    return CAIRO_STATUS_NO_MEMORY;
  }
}

/// "2026-11-26T23:40:00Z": cairo reads whole seconds.
std::string whole_seconds(base::Instant at) { return base::instant_text(at).substr(0, 19) + "Z"; }

}  // namespace

std::string paint_pdf(const Print& print) {
  std::string bytes;
  const std::unique_ptr<cairo_surface_t, Destroy> surface(cairo_pdf_surface_create_for_stream(append, &bytes, 1, 1));
  refuse(cairo_surface_status(surface.get()));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, print.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "throughcure");
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, whole_seconds(print.made_at).c_str());
  const std::unique_ptr<cairo_t, Destroy> context(cairo_create(surface.get()));
  std::size_t chapter = 0;
  for (std::size_t i = 0; i < print.pages.size(); ++i) {
    const Picture& page = print.pages[i];
    cairo_pdf_surface_set_size(surface.get(), page.width_mm * kPointsPerMm, page.height_mm * kPointsPerMm);
    for (; chapter < print.chapters.size() && print.chapters[chapter].page == i; ++chapter) {
      cairo_pdf_surface_add_outline(surface.get(), CAIRO_PDF_OUTLINE_ROOT, print.chapters[chapter].name.c_str(),
                                    ("page=" + std::to_string(i + 1)).c_str(), CAIRO_PDF_OUTLINE_FLAG_OPEN);
    }
    paint(context.get(), page, kPointsPerMm);
    cairo_show_page(context.get());
  }
  cairo_surface_finish(surface.get());
  refuse(cairo_surface_status(surface.get()));
  return bytes;
}

}  // namespace throughcure::draw
