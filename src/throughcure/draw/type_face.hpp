// The one type face of all pictures, set by pango. Internal to draw: pango shows in it.
#pragma once

#include <memory>

#include <pango/pangocairo.h>

namespace throughcure::draw {

/// Of a Debian package (fonts-dejavu-core), so that the same words are as wide on every machine.
inline constexpr const char* kTypeFamily = "DejaVu Sans";

struct FreePango {
  void operator()(PangoLayout* layout) const { g_object_unref(layout); }
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
using LayoutPtr = std::unique_ptr<PangoLayout, FreePango>;

/// Words to be set on this context, whose unit is a millimetre.
LayoutPtr type_layout(cairo_t* context);

void set_type_size(PangoLayout* layout, double size_mm);

}  // namespace throughcure::draw
