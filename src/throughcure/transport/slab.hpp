// A stack of plane layers under a collimated beam: the scene on which published tables check the transport.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "throughcure/base/estimate.hpp"
#include "throughcure/base/parallel.hpp"

namespace throughcure::transport {

struct SlabLayer {
  double mua_per_mm = 0;
  double mus_per_mm = 0;
  double g = 0;
  double n = 1;
  double thickness_mm = 1;  ///< infinite for a semi-infinite layer, which must be the last
};

struct SlabInput {
  std::vector<SlabLayer> layers;  ///< from the lit side
  double n_above = 1;
  double n_below = 1;
  double mu0 = 1;  ///< cosine of the beam to the normal, outside, in (0, 1]
  std::uint64_t photons = 1'000'000;
  std::uint64_t seed = 1;
  double depth_bin_mm = 0;  ///< width of the bins of absorption by depth; 0 for none
  std::uint32_t depth_bins = 0;
  std::uint32_t angle_bins = 0;  ///< bins of equal angle over [0, 90 deg] for the reflected and transmitted radiance
};

/// Where every unit of launched weight went. launched = specular + reflected + transmitted + absorbed - roulette + lost
/// to rounding; `roulette` is the net gain of the game and is zero only in the mean.
struct SlabLedger {
  double launched = 0;
  double accounted = 0;
  base::Estimate roulette;  ///< net gain per launched photon
  double lost = 0;          ///< weight that the geometry lost; 0 unless something is wrong
};

/// All per unit of incident power.
struct SlabResult {
  base::Estimate Rsp;  ///< returned without having entered a layer that absorbs or scatters
  base::Estimate Rd;   ///< returned otherwise
  base::Estimate Tt;   ///< passed, unscattered light included
  base::Estimate A;    ///< absorbed
  std::vector<base::Estimate> A_by_layer;
  std::vector<base::Estimate> absorbed_per_mm;       ///< by depth bin [1/mm]
  std::vector<base::Estimate> reflected_radiance;    ///< by angle bin [1/sr], without the specular part
  std::vector<base::Estimate> transmitted_radiance;  ///< by angle bin [1/sr], unscattered light included
  SlabLedger ledger;
};

/// Runs the slab. Standard errors come from 64 batches (or as many as there are photons).
/// Throws base::InputError naming each field that cannot be.
SlabResult run_slab(const SlabInput& input, const base::Running& running);

/// The field names and limits that `run_slab` refuses by; empty when the input can be run.
std::vector<std::string> slab_problems(const SlabInput& input);

}  // namespace throughcure::transport
