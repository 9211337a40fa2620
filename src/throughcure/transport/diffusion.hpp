// Light that has lost its way, roughly: diffusion on a grid of boxes.
#pragma once

#include <span>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/grid.hpp"
#include "throughcure/transport/medium.hpp"

namespace throughcure::transport {

/// D = 1 / (3 (mua + mus')) [mm]; that of a clear medium is held down.
double diffusion_mm(const Medium& medium);

/// The medium in the middle of each box.
std::vector<anatomy::MediumId> media_of_boxes(const anatomy::Scene& scene, const Grid& grid);

/// Fluence rate by box [1/mm2] from `source` [1/mm3]; 0 in air and metal. Good to some ten percent deep inside, worse
/// near a boundary: to guide, not to measure. Takes some tens of milliseconds for 30 x 30 x 30 boxes.
/// Equation: div(D grad phi) = mua phi - source, D = 1 / (3 (mua + mus')), with phi = 2 A D grad phi at air and metal,
/// A = (1 + R) / (1 - R) for a share R sent back (Haskell et al. 1994, J Opt Soc Am A 11:2727); by successive
/// over-relaxation.
std::vector<double> diffuse(const Grid& grid, std::span<const anatomy::MediumId> medium_of, const Media& media,
                            std::span<const double> source);

}  // namespace throughcure::transport
