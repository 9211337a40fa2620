// What a posed tip gives in a cell, from the paths walked back from it: a dot product.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "throughcure/base/estimate.hpp"
#include "throughcure/transport/posed_tip.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::transport {

inline constexpr std::uint32_t kAllBatches = std::numeric_limits<std::uint32_t>::max();

/// Fluence rate in the cell for 1 mW of radiant power [1/mm2] (times 100: mW/cm2 for 1 mW), the mean over all walks,
/// from the first piece of each path that meets the tip's face (or is stopped by the tip's back). A rougher answer for
/// less work comes from the first so many batches alone, as if no more had been walked.
/// Equation: phi = 4 pi (n_cell / n_air)^2 (1/N) sum_i w_i L(x_i, -u_i), from the reciprocity of radiance over n^2
/// (Case & Zweifel 1967, Linear Transport Theory, section 2.7).
base::Estimate fluence_per_mw(const ReverseRays& rays, const PosedTip& tip, std::uint32_t batches = kAllBatches);

/// The same walk by walk.
struct LightOfWalks {
  std::vector<double> per_mw;           ///< by walk, from its own paths alone [1/mm2]
  std::vector<std::uint64_t> launched;  ///< by walk
  std::vector<double> account_mean;     ///< by group of media: length in them [mm] (in metal: meetings), by its light
  std::vector<double> account_variance;
  std::size_t paths = 0;  ///< that bring light
};
/// `groups` are the media whose account is taken together.
LightOfWalks light_of_walks(const ReverseRays& rays, const PosedTip& tip,
                            std::span<const std::vector<std::size_t>> groups, std::uint32_t batches = kAllBatches);

/// The batches that hold so many launched paths, or all; two at least where there are two.
std::uint32_t batches_of(const ReverseRays& rays, std::uint64_t paths);

}  // namespace throughcure::transport
