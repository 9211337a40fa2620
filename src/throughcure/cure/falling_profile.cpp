#include "throughcure/cure/falling_profile.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace throughcure::cure {

// Below its brightest place light only falls. Where the noise of a simulated table says otherwise, neighbours are drawn
// together into one place with their mean depth and mean logarithm, until it falls (pool adjacent violators).
MouldProfile falling(const MouldProfile& noisy) {
  struct Pool {
    double count = 0, depth = 0, ln_phi = 0;
  };
  const auto brightest = std::ranges::max_element(noisy.phi_per_exitance) - noisy.phi_per_exitance.begin();
  std::vector<Pool> pools;
  for (std::size_t i = 0; i < noisy.depth_mm.size(); ++i) {
    Pool pool{1, noisy.depth_mm[i], std::log(noisy.phi_per_exitance[i])};
    const auto below = static_cast<std::ptrdiff_t>(i) > brightest;
    while (below && pools.back().ln_phi <= pool.ln_phi) {
      const Pool& before = pools.back();
      const double count = before.count + pool.count;
      pool = {count, (before.count * before.depth + pool.count * pool.depth) / count,
              (before.count * before.ln_phi + pool.count * pool.ln_phi) / count};
      pools.pop_back();
    }
    pools.push_back(pool);
  }
  MouldProfile smooth;
  for (const Pool& pool : pools) {
    smooth.depth_mm.push_back(pool.depth);
    smooth.phi_per_exitance.push_back(std::exp(pool.ln_phi));
  }
  return smooth;
}

}  // namespace throughcure::cure
