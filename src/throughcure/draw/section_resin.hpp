// The resin of a section: filled by conversion, with the criterion's contour.
#pragma once

#include <vector>

#include "throughcure/draw/look.hpp"
#include "throughcure/draw/picture.hpp"
#include "throughcure/draw/section_base.hpp"
#include "throughcure/draw/section_picture.hpp"

namespace throughcure::draw {

/// What the contour came to, for words and labels.
struct Contour {
  std::vector<Line> pieces;     ///< on the sheet, inside the resin; softer resin on the right of their course
  std::vector<bool> closed;     ///< by piece
  double softer_share = 0;      ///< of the lit resin's area in the cut that is below the criterion
  double least_conversion = 0;  ///< over the lit resin
  double most_conversion = 0;
  bool any = false;  ///< any resin lit
};

/// Adds the fills, a fine hatching over what is softer than the criterion, the boundaries of increments and the
/// contour, in that order.
Contour add_resin(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look);

}  // namespace throughcure::draw
