// Light through a disc of resin, as the detector of a transmission test reads it, for any resin of a grid.
#pragma once

#include <cstdint>
#include <functional>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/cure/mould_of_material.hpp"
#include "throughcure/cure/resin_table.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::cure {

/// The test piece and what stands behind it.
struct DiscForm {
  double thickness_mm = 2;
  double diameter_mm = 10;
  Detector detector{};
};

/// A thin collimated beam on the disc's axis: a spectrometer's.
struct ThinBeam {};
/// What lights the disc: such a beam, or a tip in contact.
using DiscLighting = std::variant<ThinBeam, optics::TipSource>;

/// What the detector reads with the disc as a share of what it reads without it [0..1].
///   with the disc: light that leaves by the far face; all of it in an integrating sphere, else what meets the sensor's
///     aperture, parallel to the disc, `gap_mm` behind it, on the axis. What leaves by the rim is lost.
///   without: an integrating sphere reads what fell on the disc's near face (its port is as wide as the disc, and is
///     brought to the light); a sensor and the light stay where they are, with air in between.
/// The disc's faces are smooth. One run for each mus', all mua counted at once by path length.
ResinTable simulate_disc(const DiscForm& form, const ResinGrid& grid, const DiscLighting& lighting,
                         std::uint64_t photons, std::uint64_t seed, const base::Running& running);

/// The reading for one draw.
using DiscReadingOf = std::function<double(const Draw&)>;

/// A disc test of a material over all that prior draws of `source` can be. A test that names a wavelength is taken to
/// be a spectrometer's (`ThinBeam`), one that names a light (`light`, else nullptr) to have that light's tip in
/// contact; its violet and blue count by their power. Half of `effort.photons` go to each of five scatterings. The
/// resin is that of the draw with its initiators whole: that a cured disc has bleached and cleared is neglected. Throws
/// base::InputError when the light has no violet or blue.
DiscReadingOf disc_of_material(const DrawSource& source, const DiscTransmission& test, const optics::Light* light,
                               const MouldEffort& effort, const base::Running& running);

}  // namespace throughcure::cure
