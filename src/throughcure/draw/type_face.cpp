#include "throughcure/draw/type_face.hpp"

namespace throughcure::draw {

LayoutPtr type_layout(cairo_t* context) {
  LayoutPtr layout(pango_cairo_create_layout(context));
  // Letters would else be moved to whole units, as if those were pixels: here they are millimetres.
  pango_context_set_round_glyph_positions(pango_layout_get_context(layout.get()), FALSE);
  return layout;
}

void set_type_size(PangoLayout* layout, double size_mm) {
  const std::unique_ptr<PangoFontDescription, FreePango> font(pango_font_description_new());
  pango_font_description_set_family(font.get(), kTypeFamily);
  pango_font_description_set_absolute_size(font.get(), size_mm * PANGO_SCALE);
  pango_layout_set_font_description(layout, font.get());
}

}  // namespace throughcure::draw
