// A beam's picture on a lattice that isolines can be drawn through.
#pragma once

#include <cstddef>

#include "throughcure/draw/isolines.hpp"
#include "throughcure/optics/beam_image.hpp"

namespace throughcure::draw {

/// The square from -half to half mm about the tip's axis, y downwards, `across` nodes each way (two or more). A node is
/// the mean over its own cell.
Lattice sampled(const optics::BeamImage& image, double half_mm, std::size_t across);

/// Least and largest of the nodes within a radius about the tip's axis; most is 0 and least infinite where there are
/// none.
struct Range {
  double least = 0;
  double most = 0;
};
Range range_within(const Lattice& field, double radius_mm);

/// The same field, but nodes outside the radius take the value of the place on the circle beside them, so that lines
/// leave the circle straight.
Lattice held_beyond(Lattice field, const optics::BeamImage& image, double radius_mm);

}  // namespace throughcure::draw
