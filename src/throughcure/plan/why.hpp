// Why a place is lit as little as it is: what each cause costs, found by solving again with that cause removed.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/solve.hpp"

namespace throughcure::plan {

/// One cause, removed after all before it have been.
struct Cause {
  std::string cause;               ///< "output", "barrier", "standoff", "tilt", "shadow", "depth and shade"
  std::string label;               ///< in words, with its numbers
  double share_kept = 1;           ///< light with the cause over light without it; above 1 where it helps
  double relative_se = 0;          ///< Monte Carlo error of that share
  double probability_without = 0;  ///< that this place cures, all causes up to this one removed
};

/// The light of one place, cause by cause. The shares multiply to `total_kept`: what the place gets over what a
/// reference piece of the same paste gets right under its surface, from the light as claimed, bare, and in contact, in
/// the same seconds. Light here is fluence over the whole schedule, nominal media, output and pose.
struct Why {
  std::size_t place = 0;  ///< index of the target
  std::vector<Cause> causes;
  double total_kept = 1;
};

/// Explains one place of a solved schedule, in the order of `Cause::cause`. Shadow: band, neighbours, and the tooth
/// above the cavity's brim, taken away with the tip held where it was. Depth and shade is what is left. A place that
/// no light was found to reach has no causes and keeps 0.
Why explain(const Ground& ground, const std::vector<Exposure>& schedule, std::size_t place, const Solution& solved,
            const SolveEffort& effort, const base::Running& running);

}  // namespace throughcure::plan
