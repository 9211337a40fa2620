#include "throughcure/optics/medium.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::optics {

namespace {

double scattering_from_reduced(double reduced_per_mm, double g) { return reduced_per_mm / (1 - g); }

}  // namespace

double reduced_scattering_per_mm(const OpticalProperties& medium) { return medium.mus_per_mm * (1 - medium.g); }

double effective_attenuation_per_mm(double mua_per_mm, double reduced_scattering_per_mm) {
  return std::sqrt(3 * mua_per_mm * (mua_per_mm + reduced_scattering_per_mm));
}

double absorption_for_attenuation_per_mm(double attenuation_per_mm, double reduced_scattering_per_mm) {
  // The positive root of 3 a^2 + 3 a s - k^2 = 0, written so that it loses no digits where s is large.
  const double s = 3 * reduced_scattering_per_mm;
  const double k2 = attenuation_per_mm * attenuation_per_mm;
  return k2 > 0 ? 2 * k2 / (s + std::sqrt(s * s + 12 * k2)) : 0;
}

double at_wavelength(const VioletBlue& coefficient, double wavelength_nm) {
  const double t = std::clamp((wavelength_nm - kViolet_nm) / (kBlue_nm - kViolet_nm), 0.0, 1.0);
  return (1 - t) * coefficient.violet + t * coefficient.blue;
}

double scattering_at_violet_per_mm(double at_blue_per_mm, double power) {
  return at_blue_per_mm * std::pow(kBlue_nm / kViolet_nm, power);
}

ResinValues nominal(const ResinOptics& resin) {
  ResinValues values{
      .n = resin.n.value,
      .g = resin.g.value,
      .scattering_per_mm = {resin.scattering_violet_per_mm.value, resin.scattering_blue_per_mm.value},
      .rest_per_mm = {resin.rest_violet_per_mm.value, resin.rest_blue_per_mm.value},
      .resin_volume_fraction = resin.resin_volume_fraction.value,
      .resin_density_g_ml = resin.resin_density_g_ml.value,
      .mass_percent_of_resin = {},
  };
  for (const InitiatorContent& content : resin.initiators) {
    values.mass_percent_of_resin.push_back(content.mass_percent_of_resin.value);
  }
  return values;
}

std::vector<double> initiator_shares_per_mm(const ResinOptics& resin, const ResinValues& values,
                                            std::span<const double> epsilons) {
  std::vector<double> shares;
  shares.reserve(resin.initiators.size());
  for (std::size_t i = 0; i < resin.initiators.size(); ++i) {
    const Initiator& initiator = resin.initiators[i].initiator;
    const double concentration =
        concentration_mol_per_l(initiator, values.mass_percent_of_resin[i], values.resin_density_g_ml);
    shares.push_back(
        initiator_absorption_per_mm(initiator.reading, epsilons[i], concentration, values.resin_volume_fraction));
  }
  return shares;
}

std::vector<double> initiator_shares_per_mm(const ResinOptics& resin, const ResinValues& values, double wavelength_nm) {
  std::vector<double> epsilons;
  epsilons.reserve(resin.initiators.size());
  for (const InitiatorContent& content : resin.initiators) {
    epsilons.push_back(epsilon_at(content.initiator, wavelength_nm));
  }
  return initiator_shares_per_mm(resin, values, epsilons);
}

OpticalProperties resin_properties(const ResinValues& values, double wavelength_nm,
                                   std::span<const double> shares_per_mm, std::span<const double> left) {
  double mua = std::max(0.0, at_wavelength(values.rest_per_mm, wavelength_nm));
  for (std::size_t i = 0; i < shares_per_mm.size(); ++i) mua += shares_per_mm[i] * (left.empty() ? 1.0 : left[i]);
  return {.n = values.n,
          .mua_per_mm = mua,
          .mus_per_mm = scattering_from_reduced(at_wavelength(values.scattering_per_mm, wavelength_nm), values.g),
          .g = values.g};
}

OpticalProperties nominal(const TissueOptics& tissue) {
  return {.n = tissue.n.value,
          .mua_per_mm = tissue.absorption_per_mm.value,
          .mus_per_mm = scattering_from_reduced(tissue.scattering_per_mm.value, tissue.g.value),
          .g = tissue.g.value};
}

}  // namespace throughcure::optics
