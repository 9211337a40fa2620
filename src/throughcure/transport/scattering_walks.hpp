// Walks at stated scattering: one run divides its paths over them, and each path counts for all of them together.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/transport/medium.hpp"

namespace throughcure::transport {

/// How the paths of a run are shared out over walks that scatter otherwise than the nominal media. Absorption and g are
/// nominal in all of them.
struct ScatteringWalks {
  std::vector<std::vector<double>> mus_factors;  ///< [walk][medium]: what the nominal mus is multiplied with
  std::vector<std::uint64_t> per_batch;          ///< paths of each walk in every batch
  std::vector<double> mus_per_mm;                ///< nominal, by medium [1/mm]

  /// Whether all paths walk in the nominal media: their weight is then 1.
  [[nodiscard]] bool nominal_alone() const;
};

/// Shares out `paths_per_batch` paths. `mus_factors` is [walk][medium], empty for the nominal media alone; `shares` are
/// relative to one another, empty for equal ones. What does not divide goes to the largest remainders, so that every
/// batch is like every other. Throws Failure for a row of the wrong length, a factor or a share that is not above 0 and
/// finite, and shares that are not as many as the walks.
ScatteringWalks shared_out(const Media& media, const std::vector<std::vector<double>>& mus_factors,
                           const std::vector<double>& shares, std::uint64_t paths_per_batch);

/// The media of one walk.
Media media_of_walk(const Media& nominal, const ScatteringWalks& walks, std::size_t walk);

/// The density with which the walks together make a path, over that of the nominal media.
/// Equation (balance heuristic: Veach and Guibas 1995, "Optimally combining sampling techniques for Monte Carlo
/// rendering", SIGGRAPH): sum_j a_j prod_m f_jm^k_m exp(-(f_jm - 1) mus_m l_m), with a_j the share of walk j in the
/// paths, k_m the collisions and l_m the length [mm] in medium m.
class MixtureDensity {
 public:
  explicit MixtureDensity(const ScatteringWalks& walks);
  /// Its logarithm, for collisions and lengths [mm] by medium; neither overflows nor underflows.
  [[nodiscard]] double log_over_nominal(std::span<const std::uint32_t> collisions,
                                        std::span<const double> lengths_mm) const;

 private:
  std::size_t media_ = 0;
  std::vector<double> log_share_;      ///< [walk]
  std::vector<double> per_collision_;  ///< [walk][medium]
  std::vector<double> per_mm_;         ///< [walk][medium]
};

}  // namespace throughcure::transport
