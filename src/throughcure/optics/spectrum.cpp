#include "throughcure/optics/spectrum.hpp"

#include <algorithm>
#include <cstddef>

namespace throughcure::optics {

Emission emission(const Spectrum& spectrum) { return {spectrum.wavelength_nm, spectrum.power_per_nm}; }

double value_at(const Spectrum& spectrum, double wavelength_nm) {
  const auto& x = spectrum.wavelength_nm;
  if (wavelength_nm < x.front() || wavelength_nm > x.back()) return 0;
  return power_at(emission(spectrum), wavelength_nm);
}

double whole_power(const Spectrum& spectrum) {
  return power_between(emission(spectrum), spectrum.wavelength_nm.front(), spectrum.wavelength_nm.back());
}

double share_between(const Spectrum& spectrum, double from_nm, double to_nm) {
  return power_between(emission(spectrum), from_nm, to_nm) / whole_power(spectrum);
}

double mean_wavelength_nm(const Spectrum& spectrum, double from_nm, double to_nm) {
  const double power = power_between(emission(spectrum), from_nm, to_nm);
  if (power <= 0) return (from_nm + to_nm) / 2;
  // Simpson's rule is exact for the wavelength times a straight line.
  const auto& x = spectrum.wavelength_nm;
  double first_moment = 0;
  for (std::size_t i = 0; i + 1 < x.size(); ++i) {
    const double from = std::max(from_nm, x[i]);
    const double to = std::min(to_nm, x[i + 1]);
    if (to <= from) continue;
    const double low = value_at(spectrum, from);
    const double high = value_at(spectrum, to);
    first_moment += (to - from) / 6 * (from * low + (from + to) * (low + high) + to * high);
  }
  return first_moment / power;
}

double peak_wavelength_nm(const Spectrum& spectrum) {
  const auto peak = std::ranges::max_element(spectrum.power_per_nm);
  return spectrum.wavelength_nm[static_cast<std::size_t>(peak - spectrum.power_per_nm.begin())];
}

double radiant_power_mw(const Spectrum& spectrum) { return whole_power(spectrum) * 1000; }

Spectrum resampled(const Spectrum& spectrum, std::span<const double> wavelength_nm) {
  Spectrum out{{wavelength_nm.begin(), wavelength_nm.end()}, {}, spectrum.scale};
  const std::size_t n = wavelength_nm.size();
  out.power_per_nm.reserve(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double from = i == 0 ? wavelength_nm[0] : (wavelength_nm[i - 1] + wavelength_nm[i]) / 2;
    const double to = i + 1 == n ? wavelength_nm[i] : (wavelength_nm[i] + wavelength_nm[i + 1]) / 2;
    out.power_per_nm.push_back(power_between(emission(spectrum), from, to) / (to - from));
  }
  return out;
}

}  // namespace throughcure::optics
