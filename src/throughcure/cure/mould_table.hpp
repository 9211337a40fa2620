// The standard mould under a usual light in contact, simulated once over all resins of the classes and kept.
#pragma once

#include <cstdint>

#include "throughcure/base/parallel.hpp"
#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/bands_in_material.hpp"
#include "throughcure/cure/mould_light.hpp"
#include "throughcure/optics/light.hpp"

namespace throughcure::cure {

/// For one form of mould and one light, whatever its spectrum: even over a tip of this diameter, with this shape.
struct MouldTable {
  MouldForm form{};
  double tip_diameter_mm = 0;
  optics::AngularShape shape{};
  MouldLight light{};         ///< `relative_se` is empty in a table that was read
  std::uint64_t photons = 0;  ///< for each mus'
  std::uint64_t seed = 0;
  base::Provenance provenance{};
};

/// How far n and g of a resin may lie from the table's at the same mus'. What that costs stands in docs/physics.md.
inline constexpr double kMostOffIndex = 0.05;
inline constexpr double kMostOffAnisotropy = 0.1;

/// What a table is asked for.
struct MouldQuestion {
  MouldForm form{};
  const optics::Light& light;
  double n = 0;
  double g = 0;
  ResinSpans spans{};  ///< all the resins and walls that will be looked up
};

/// Whether a table answers it: the same mould, light and standoff, n and g near enough, and no resin or wall outside
/// the grid (scattering less than its least is as good as none).
bool answers(const MouldTable& table, const MouldQuestion& question);

/// Makes the table for `usual_test_light` in contact in the standard's mould, for n 1.53 and g 0.8, the priors of all
/// classes: mua 0.025 to 1.25 per mm, mus' 0.01 to 4 per mm, wall 0.3 to 0.7. `photons` for each of ten mus'.
MouldTable make_mould_table(std::uint64_t photons, std::uint64_t seed, const base::Running& running);

}  // namespace throughcure::cure
