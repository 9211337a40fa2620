// How many photons a joule holds.
#pragma once

namespace throughcure::optics {

// Source: the exact constants that define the SI since 2019 (standard).
inline constexpr double kPlanck_j_s = 6.62607015e-34;
inline constexpr double kLightSpeed_m_s = 299792458.0;
inline constexpr double kAvogadro_per_mol = 6.02214076e23;

/// Moles of photons in a joule of light of one wavelength [mol/J]: lambda / (h c N_A).
constexpr double photons_mol_per_j(double wavelength_nm) {
  return wavelength_nm * 1e-9 / (kPlanck_j_s * kLightSpeed_m_s * kAvogadro_per_mol);
}

}  // namespace throughcure::optics
