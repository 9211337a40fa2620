// A picture as JSON, so that the page paints the same list.
#pragma once

#include <string>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// Compact JSON. Lengths are sheet millimetres to 0.01; a line is one flat list, [x, y, x, y, ...]; a colour is
/// "#rrggbb", or "#rrggbbaa" where it is not opaque.
///
///     {"width": 100, "height": 126.5, "paper": "#fbfaf6", "description": "...", "marks": [
///       {"kind": "stroke", "line": [...], "closed": true, "width": 0.3, "colour": "#1d1f24", "dashes": [1.2, 0.8]},
///       {"kind": "polygon", "rings": [[...], ...], "colour": "#ffffff"},
///       {"kind": "raster", "x": 4, "y": 15, "width": 20, "height": 10, "png": "data:image/png;base64,...",
///        "clip": [...]},
///       {"kind": "shading", "clip": [[...], ...], "areas": [{"rings": [[...], ...], "colour": "#e8e3b5"}, ...]},
///       {"kind": "text", "x": 4, "y": 6, "words": "...", "size": 3.3, "colour": "#1d1f24", "align": "middle",
///        "turn": 90, "halo": "#fbfaf6"}]}
///
/// `closed`, `dashes`, `clip`, `turn` (degrees, clockwise) and `halo` are left out where there are none; `align` is
/// "start", "middle" or "end". Polygons and clips are filled by even and odd; the
/// areas of a shading lie one over another. The first mark lies undermost. Throws
/// base::Failure where a raster cannot be packed, with the reason.
std::string to_json(const Picture& picture);

}  // namespace throughcure::draw
