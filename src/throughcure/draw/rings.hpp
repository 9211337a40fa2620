// Closed lines as areas, and lines cut by them.
#pragma once

#include <functional>
#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// The least rectangle round lines; least > most where there are none.
struct Extent {
  Place least{1e300, 1e300};
  Place most{-1e300, -1e300};

  void take(const Place& p);
};
Extent extent(const Line& line);

/// Whether a place lies in an area between closed lines (even and odd).
bool inside(const std::vector<Line>& rings, const Place& p);

/// Twice the area is positive for a ring that runs clockwise as one looks at the sheet, negative for a hole's.
double area_mm2(const Line& ring);

/// The pieces of a line in which `kept` holds, of two places or more; ends are found by halving to 1/1000 of a segment.
/// A closed line that is kept whole comes back with its first place repeated.
std::vector<Line> pieces_where(const Line& line, bool closed, const std::function<bool(const Place&)>& kept);

/// Fewer places: none left out lies further than `within_mm` from the line that is left (Douglas and Peucker 1973).
Line simplified(const Line& ring, double within_mm);

}  // namespace throughcure::draw
