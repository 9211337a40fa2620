#include "throughcure/optics/initiator.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "throughcure/optics/photons.hpp"

namespace throughcure::optics {

namespace {

double factor_of(AbsorptionReading reading) {
  return reading == AbsorptionReading::kDecadic ? std::numbers::ln10 : 1.0;
}

/// Every wavelength inside the band at which either form bends or breaks off, with the band's ends.
std::vector<double> bends(const Initiator& initiator, const Emission& emitter, double from_nm, double to_nm) {
  std::vector<double> at = {from_nm, to_nm};
  const auto add = [&](double nm) {
    if (nm > from_nm && nm < to_nm) at.push_back(nm);
  };
  for (const EpsilonPoint& point : initiator.spectrum) add(point.at_nm);
  for (const double nm : emitter.wavelength_nm) add(nm);
  std::ranges::sort(at);
  return at;
}

}  // namespace

double epsilon_at(const Initiator& initiator, double wavelength_nm) {
  const auto& points = initiator.spectrum;
  if (points.empty()) return 0;
  const auto above = std::ranges::upper_bound(points, wavelength_nm, {}, &EpsilonPoint::at_nm);
  if (above == points.begin()) return points.front().epsilon.value;
  if (above == points.end()) return points.back().epsilon.value;
  const auto below = above - 1;
  const double t = (wavelength_nm - below->at_nm) / (above->at_nm - below->at_nm);
  return (1 - t) * below->epsilon.value + t * above->epsilon.value;
}

double mean_epsilon(const Initiator& initiator, const Emission& emitter, double from_nm, double to_nm) {
  const std::vector<double> at = bends(initiator, emitter, from_nm, to_nm);
  double absorbed = 0;
  double power = 0;
  double plain = 0;
  for (std::size_t i = 0; i + 1 < at.size(); ++i) {
    const double width = at[i + 1] - at[i];
    if (width <= 0) continue;
    const double e0 = epsilon_at(initiator, at[i]);
    const double e1 = epsilon_at(initiator, at[i + 1]);
    plain += width * (e0 + e1) / 2;
    if (at[i] < emitter.wavelength_nm.front() || at[i + 1] > emitter.wavelength_nm.back()) continue;
    const double s0 = power_at(emitter, at[i]);
    const double s1 = power_at(emitter, at[i + 1]);
    power += width * (s0 + s1) / 2;
    // Simpson's rule is exact for the product of two straight lines.
    absorbed += width / 6 * (e0 * s0 + (e0 + e1) * (s0 + s1) + e1 * s1);
  }
  return power > 0 ? absorbed / power : plain / (to_nm - from_nm);
}

double concentration_mol_per_l(const Initiator& initiator, double mass_percent_of_resin, double density_g_ml) {
  return mass_percent_of_resin / 100 * density_g_ml * 1000 / initiator.molar_mass.value;
}

double initiator_absorption_per_mm(AbsorptionReading reading, double epsilon_l_per_mol_cm, double concentration_mol_l,
                                   double resin_volume_fraction) {
  constexpr double kCmPerMm = 0.1;
  return factor_of(reading) * epsilon_l_per_mol_cm * concentration_mol_l * resin_volume_fraction * kCmPerMm;
}

double bleaching_cm2_per_j(AbsorptionReading reading, double quantum_yield_of_loss, double epsilon_l_per_mol_cm,
                           double wavelength_nm) {
  constexpr double kCm3PerL = 1000;
  return quantum_yield_of_loss * factor_of(reading) * epsilon_l_per_mol_cm * kCm3PerL *
         photons_mol_per_j(wavelength_nm);
}

double share_left(double bleaching_cm2_per_j, double fluence_j_per_cm2) {
  return std::exp(-bleaching_cm2_per_j * fluence_j_per_cm2);
}

}  // namespace throughcure::optics
