// Conversion over a cut of the restoration, for its drawing: from rays of a lattice of places, for any schedule.
#pragma once

#include <vector>

#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/fluence.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/rays.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::plan {

/// The lattice of a cut, kFieldSpacing_mm apart.
std::vector<PlaceInResin> field_places(const Ground& ground, const anatomy::CuttingPlane& cut);

/// Walks what a schedule needs of a lattice's rays and is not there yet; `paths` for each place, state and band. A
/// drawing takes few: its medians are good to some 10 %.
void walk_field(Rays& rays, const Ground& ground, const anatomy::CuttingPlane& cut,
                const std::vector<Exposure>& schedule, std::uint64_t paths, const base::Running& running);

/// Medians over some of the draws, the tip held as planned.
std::vector<FieldPoint> field(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                              const base::Running& running);

/// The tip of each exposure, as planned.
std::vector<TipPlace> tip_places(const Ground& ground, const std::vector<Exposure>& schedule);

}  // namespace throughcure::plan
