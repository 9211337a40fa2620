// Painting a picture with cairo, whatever the surface is.
#pragma once

#include "throughcure/draw/picture.hpp"

// Cairo's own name for its drawing context; its header stays in the source.
using cairo_t = struct _cairo;  // NOLINT(bugprone-reserved-identifier): cairo's choice

namespace throughcure::draw {

/// Paints the sheet from the context's origin, paper over all of the surface; `units_per_mm` of the surface's
/// own units (pixels, points) make one mm. Words are set in DejaVu Sans, or in
/// what the system has instead. Throws base::Failure with cairo's reason.
void paint(cairo_t* context, const Picture& picture, double units_per_mm);

}  // namespace throughcure::draw
