#include "throughcure/cure/mould_profile.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace throughcure::cure {

namespace {

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

MouldProfile profile_of(const MouldTables& tables, double mua_per_mm, double scattering_per_mm, double reflectance) {
  const std::vector<double>& walls = tables.wall_reflectance;
  const auto above = std::ranges::upper_bound(walls, reflectance);
  const auto high = static_cast<std::size_t>(
      std::clamp<std::ptrdiff_t>(above - walls.begin(), 0, static_cast<std::ptrdiff_t>(walls.size()) - 1));
  const std::size_t low = high > 0 ? high - 1 : 0;
  const double t = high > low ? std::clamp((reflectance - walls[low]) / (walls[high] - walls[low]), 0.0, 1.0) : 0.0;

  MouldProfile profile{.depth_mm = {},
                       .phi_per_exitance = fluence_per_exitance(tables.light[low], mua_per_mm, scattering_per_mm)};
  if (t > 0) {
    const std::vector<double> other = fluence_per_exitance(tables.light[high], mua_per_mm, scattering_per_mm);
    for (std::size_t i = 0; i < other.size(); ++i) {
      profile.phi_per_exitance[i] = std::pow(profile.phi_per_exitance[i], 1 - t) * std::pow(other[i], t);
    }
  }
  profile.depth_mm.reserve(profile.phi_per_exitance.size());
  for (std::size_t i = 0; i < profile.phi_per_exitance.size(); ++i) {
    profile.depth_mm.push_back(tables.light[low].depth_mm(i));
  }
  return falling(profile);
}

}  // namespace

MouldOf mould_of(MouldTables tables, double nominal_mua_per_mm, double nominal_reduced_scattering_per_mm) {
  return [tables = std::move(tables), nominal_mua_per_mm, nominal_reduced_scattering_per_mm](const Draw& draw) {
    return profile_of(tables, nominal_mua_per_mm * draw.absorption_factor.blue,
                      nominal_reduced_scattering_per_mm * draw.scattering_factor.blue, draw.mould_reflectance);
  };
}

}  // namespace throughcure::cure
