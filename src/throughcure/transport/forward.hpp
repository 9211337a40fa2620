// Light followed from the tip into the scene: fluence rate in cells and on a grid, absorbed power, and the ledger.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/estimate.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/transport/cell.hpp"
#include "throughcure/transport/grid.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::transport {

struct ForwardInput {
  std::vector<Cell> cells{};
  Grid grid{};  ///< no cells: none wanted
  std::uint64_t photons = 1'000'000;
  std::uint64_t seed = 1;
};

/// Per mW of radiant power.
struct ForwardResult {
  std::vector<base::Estimate> fluence_per_mw;  ///< by cell [1/mm2]
  std::vector<float> grid_fluence_per_mw;      ///< by grid cell [1/mm2]
  std::vector<base::Estimate> absorbed;        ///< share absorbed, by medium; metal included
  base::Estimate escaped;                      ///< share that left the scene
  base::Estimate to_tip;                       ///< share that came back to the tip
  base::Estimate roulette;                     ///< net gain of the game; zero in the mean
  double unaccounted = 0;                      ///< |launched - absorbed - escaped - to tip + roulette| per launched
  double lost = 0;                             ///< share that the geometry lost
};

/// All packets start with weight 1.
using Starter = std::function<Start(base::Stream&)>;

/// Runs packets from the tip, which is opaque to what comes back.
ForwardResult run_forward(const anatomy::Scene& scene, const Media& media, const PosedTip& tip,
                          const ForwardInput& input, const base::Running& running);

/// Runs packets from any start, with no tip in the scene; results are per unit of launched power.
ForwardResult run_forward(const anatomy::Scene& scene, const Media& media, const Starter& starter,
                          const ForwardInput& input, const base::Running& running);

}  // namespace throughcure::transport
