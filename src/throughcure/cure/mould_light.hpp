// Light in the steel mould of the scrape test: the fluence rate on its axis against depth, for any resin of a grid.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::cure {

/// How the test is set up. The mould itself is anatomy's (ISO 4049, kind: standard).
struct MouldForm {
  double bore_diameter_mm = 4;
  double height_mm = 10;           ///< at least 2 mm more than twice the depth that is looked for
  double wall_specular = 0;        ///< share of what steel sends back, sent as by a mirror; a drilled bore is dull
  double floor_reflectance = 0.8;  ///< of the paper under it, by Lambert's law
  double standoff_mm = 0;          ///< from the tip to the resin
};

/// The resins and walls for which the table is made: every one with every other. Lists rise; two values or more.
struct MouldGrid {
  std::vector<double> mua_per_mm;
  std::vector<double> reduced_scattering_per_mm;  ///< each needs a run of its own
  std::vector<double> wall_reflectance;
  double n = 1.52;
  double g = 0.7;
};

/// Fluence rate on the axis per radiant exitance of the tip [1], by mus', wall, mua and depth; in between by straight
/// lines: its logarithm against log mus', wall reflectance and mua. `relative_se` is the standard error over the value.
struct MouldLight {
  MouldGrid grid;
  double depth_step_mm = 0.25;
  std::size_t depths = 0;           ///< of the middles of the steps
  std::vector<double> log_fluence;  ///< [mus'][wall][mua][depth]
  std::vector<double> relative_se;  ///< the same order

  [[nodiscard]] double depth_mm(std::size_t i) const { return (static_cast<double>(i) + 0.5) * depth_step_mm; }
};

/// Follows light from the tip into the mould: one forward run for each mus', in which every mua is counted at once by
/// the path length in the resin and every wall by how often it was met. The fluence rate is the mean within 0.5 mm of
/// the axis.
MouldLight simulate_mould(const MouldForm& form, const MouldGrid& grid, const optics::TipSource& source,
                          std::uint64_t photons, std::uint64_t seed, const base::Running& running);

/// Fluence rate per exitance [1] on the axis at each depth of the table, for one resin and wall. Outside the grid the
/// nearest of the grid stands in.
std::vector<double> fluence_per_exitance(const MouldLight& light, double mua_per_mm, double reduced_scattering_per_mm,
                                         double wall_reflectance);

}  // namespace throughcure::cure
