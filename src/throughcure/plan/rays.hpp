// The paths walked back from the places of a case, by state and band: what every pose is answered from.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::plan {

/// A place in the resin: a target cell, or a place of a drawing.
struct PlaceInResin {
  base::Point centre;
  double radius_mm = 0.12;
  std::size_t increment = 0;
};
std::vector<PlaceInResin> places_of(const std::vector<anatomy::Target>& targets);

/// Paths back from each place in each state in which it exists and something is lit, in each band.
struct Rays {
  std::vector<PlaceInResin> places;
  std::size_t bands = 0;
  /// [state][place][band]; nothing where a place does not exist yet or the state is never lit.
  std::vector<std::vector<std::vector<std::shared_ptr<const transport::ReverseRays>>>> of;
};

/// Which states a schedule lights.
std::vector<bool> lit_states(const Ground& ground, const std::vector<Exposure>& schedule);

struct RayEffort {
  std::uint64_t paths = 20'000;  ///< of each place, state and band, at first
  std::uint64_t seed = 1;
  std::uint32_t stream = 0;  ///< tells the rays of a drawing from those of the verdict
};

/// Walks them. Same answer at any number of threads.
Rays walk_rays(const Ground& ground, const std::vector<PlaceInResin>& places, const std::vector<bool>& states,
               const RayEffort& effort, const base::Running& running);

/// Walks those states among `states` that have no rays yet; what is there stays.
void walk_missing(Rays& rays, const Ground& ground, const std::vector<PlaceInResin>& places,
                  const std::vector<bool>& states, const RayEffort& effort, const base::Running& running);

/// One of the runs.
struct RayRun {
  std::size_t state = 0;
  std::size_t place = 0;
  std::size_t band = 0;
};

/// Adds to some runs until each has `paths` or a little more.
struct MoreRays {
  RayRun run;
  std::uint64_t paths = 0;
};
void walk_more(Rays& rays, const Ground& ground, const std::vector<MoreRays>& more, const base::Running& running);

}  // namespace throughcure::plan
