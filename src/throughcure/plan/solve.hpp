// A case's verdict to a stated precision: paths are spent where the light of a deciding cell is least well known.
#pragma once

#include <cstdint>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/fluence.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/rays.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::plan {

struct SolveEffort {
  double precision = 0.02;             ///< relative standard error of each deciding cell's light
  std::uint64_t first_paths = 1600;    ///< of each place and state, in the band that is worth most
  std::uint64_t most_paths = 640'000;  ///< the same, after which an answer stands as it is
  std::uint64_t seed = 1;
  FluenceEffort fluence{};
};

struct Solution {
  Rays rays;  ///< of the targets
  Fluence fluence;
  Verdict verdict;
  double worst_relative_se = 0;  ///< of the light of a deciding cell
  std::uint64_t paths = 0;       ///< walked in all
};

/// Solves a schedule. Where P comes within 0.02 of a boundary of the policy, the precision is doubled, once. `rays` may
/// hold what was walked before for the same ground and seed; nothing is walked twice.
Solution solve(const Ground& ground, const std::vector<Exposure>& schedule, const SolveEffort& effort,
               const base::Running& running, Rays rays = {});

}  // namespace throughcure::plan
