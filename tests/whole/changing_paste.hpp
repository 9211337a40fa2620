// A paste whose optics change while it cures, cut into slices by depth: what the model leaves out, made simulable.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/estimate.hpp"
#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/cure/kinetics.hpp"
#include "throughcure/transport/cell.hpp"
#include "throughcure/transport/medium.hpp"

namespace throughcure::tests {

/// How a paste changes. Scattering goes as the square of the index step between resin and filler, and the resin's index
/// rises straight with conversion (Howard et al. 2010): a share `vanishing` of it goes as (1 - X/0.58)^2, where the two
/// meet at 58 %; a share `growing` of it, seen at 58 %, comes with (X/0.58)^2 where they meet at the start.
struct Change {
  double initiators_per_mm = 0;  ///< what bleaches of the absorption, before any light [1/mm]
  double vanishing = 0;          ///< [0..1]
  double growing = 0;            ///< [0..]
};
/// Scattering at conversion x over that of the fresh paste.
double scattering_left(const Change& change, double x);

/// One slice: what its paste was like at first, and what it has had so far.
struct Slice {
  double z_mm = 0;  ///< of its middle
  double mua_per_mm = 0;
  double mus_per_mm = 0;
  cure::CellState state{};
};

/// A scene in which a paste is cut into slices across z, each with a medium of its own.
struct SlicedPaste {
  anatomy::Scene scene;
  transport::Media media;
  std::vector<std::size_t> slice_of;  ///< of each medium from `first` on
  anatomy::MediumId first = 0;
};
/// Cuts every solid whose medium is named `prefix...` at `slices`, half of `thickness_mm` to either side of each z.
SlicedPaste cut(anatomy::Scene scene, transport::Media media, const char* prefix, std::span<const Slice> slices,
                double thickness_mm);

/// Gives each slice's media the mean over `seconds` of what it becomes under `phi_mw_cm2` [slice], from its state on.
void fill(SlicedPaste& paste, std::span<const Slice> slices, std::span<const double> phi_mw_cm2, double seconds,
          const Change& change, const cure::RateLaw& law, const cure::ConversionCurve& curve, double temperature_c);

/// Takes the slices' states through that exposure.
void pass(std::span<Slice> slices, std::span<const double> phi_mw_cm2, double seconds, const cure::RateLaw& law,
          const cure::ConversionCurve& curve, double temperature_c);

/// Adds a solid ranked before the one at `rank`.
void insert(anatomy::Scene& scene, std::size_t rank, anatomy::MediumId medium,
            const std::vector<anatomy::Quadric>& faces);

}  // namespace throughcure::tests
