#include "throughcure/optics/emission.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>

namespace throughcure::optics {

double power_at(const Emission& emission, double wavelength_nm) {
  const auto& x = emission.wavelength_nm;
  const auto above =
      std::clamp<std::ptrdiff_t>(std::ranges::upper_bound(x, wavelength_nm) - x.begin(), 1, std::ssize(x) - 1);
  const auto i = static_cast<std::size_t>(above);
  return std::lerp(emission.power_per_nm[i - 1], emission.power_per_nm[i],
                   (wavelength_nm - x[i - 1]) / (x[i] - x[i - 1]));
}

double power_between(const Emission& emission, double from_nm, double to_nm) {
  const auto& x = emission.wavelength_nm;
  double power = 0;
  for (std::size_t i = 0; i + 1 < x.size(); ++i) {
    const double from = std::max(from_nm, x[i]);
    const double to = std::min(to_nm, x[i + 1]);
    if (to > from) power += (to - from) * (power_at(emission, from) + power_at(emission, to)) / 2;
  }
  return power;
}

}  // namespace throughcure::optics
