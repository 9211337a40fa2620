// The simulated mould of the scrape test as the draws of a material see it.
#pragma once

#include <vector>

#include "throughcure/cure/mould_light.hpp"
#include "throughcure/cure/scrape.hpp"

namespace throughcure::cure {

/// Moulds that differ in the reflectance of their wall alone: same grid, height and light. Reflectances [0..1] rising,
/// one or more, a table for each.
struct MouldTables {
  std::vector<double> wall_reflectance;
  std::vector<MouldLight> light;
};

/// A function from a draw to its profile in the blue: its factors on the material's nominal mua and mus', its wall by
/// straight lines in the logarithm between the tables. Outside the grid or the walls, the nearest.
/// The tables stand for one light at one standoff. Below its brightest place the profile falls: noise of the simulation
/// that says otherwise is levelled out, for the scraped length is looked for from the deep end.
MouldOf mould_of(MouldTables tables, double nominal_mua_per_mm, double nominal_reduced_scattering_per_mm);

}  // namespace throughcure::cure
