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

/// What light of a band is worth to a material: its share of the light's power times what it is worth to the
/// initiators.
double worth_of_band(const Ground& ground, std::size_t band, std::size_t material);

/// A band's part of so many paths, by what it is worth; an eighth at least.
std::uint64_t paths_of_band(const Ground& ground, std::size_t band, std::size_t material, std::uint64_t paths);

/// Which states a schedule lights.
std::vector<bool> lit_states(const Ground& ground, const std::vector<Exposure>& schedule);

/// Guides for the walks from the places in each lit state: towards the schedule's tips there, and an upright one in
/// contact, to which the tip may be dragged; with the band off also towards tips from both sides.
std::vector<std::shared_ptr<const transport::Guide>> guides_for(const Ground& ground,
                                                                const std::vector<PlaceInResin>& places,
                                                                const std::vector<Exposure>& schedule,
                                                                const std::vector<bool>& states,
                                                                const base::Running& running);

struct RayEffort {
  std::uint64_t paths = 20'000;  ///< of each place and state, in the band that is worth most; fewer in others
  std::uint64_t seed = 1;
  std::uint32_t stream = 0;  ///< tells the rays of a drawing from those of the verdict
  std::vector<std::shared_ptr<const transport::Guide>> guides{};  ///< by state; none: walks without
};

/// Walks them. Same answer at any number of threads.
Rays walk_rays(const Ground& ground, const std::vector<PlaceInResin>& places, const std::vector<bool>& states,
               const RayEffort& effort, const base::Running& running);

/// Walks those states that the schedule lights and that have no rays yet, guided; what is there stays.
void walk_missing(Rays& rays, const Ground& ground, const std::vector<PlaceInResin>& places,
                  const std::vector<Exposure>& schedule, RayEffort effort, const base::Running& running);

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
