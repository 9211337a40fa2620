// A photoinitiator: how strongly it absorbs at each wavelength, and how it is used up.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/optics/emission.hpp"

namespace throughcure::optics {

/// Which logarithm a molar absorption coefficient belongs to: mua = factor * epsilon * c.
enum class AbsorptionReading : std::uint8_t {
  kDecadic,    ///< transmitted share 10^(-epsilon c d): factor ln 10
  kNapierian,  ///< transmitted share exp(-epsilon c d): factor 1
};

/// One point of an absorption spectrum: molar absorption coefficient [L/mol/cm], with what it is worth.
struct EpsilonPoint {
  double at_nm = 0;
  base::Sourced epsilon;
};

/// Points strictly rising in wavelength, two or more, values >= 0. Between two points the straight line holds, outside
/// them the nearest point.
struct Initiator {
  std::string id;            ///< the name in files: "camphorquinone"
  std::string name;          ///< as a chemist says it
  std::string short_name;    ///< "CQ"
  base::Sourced molar_mass;  ///< [g/mol]
  AbsorptionReading reading = AbsorptionReading::kDecadic;
  std::vector<EpsilonPoint> spectrum;
  std::optional<base::Sourced> quantum_yield_of_loss{};  ///< molecules lost per absorbed photon
};

/// Molar absorption coefficient at a wavelength [L/mol/cm], as the initiator's `reading` has it.
double epsilon_at(const Initiator& initiator, double wavelength_nm);

/// Mean molar absorption coefficient [L/mol/cm] over a band, weighted by the emitter's power: what a thin layer absorbs
/// of the band's power. Exact for the two straight-line forms. Where the emitter is dark, the plain mean of the band.
double mean_epsilon(const Initiator& initiator, const Emission& emitter, double from_nm, double to_nm);

/// Concentration in the resin [mol/L] of `mass_percent_of_resin` wt% in a resin of `density_g_ml`.
double concentration_mol_per_l(const Initiator& initiator, double mass_percent_of_resin, double density_g_ml);

/// Absorption coefficient [1/mm] that an initiator gives its medium: ln 10 (or 1) * epsilon * c * resin volume
/// fraction.
double initiator_absorption_per_mm(AbsorptionReading reading, double epsilon_l_per_mol_cm, double concentration_mol_l,
                                   double resin_volume_fraction);

/// First-order constant of the loss of an initiator, per unit of fluence [cm2/J]: quantum yield * ln 10 (or 1) *
/// epsilon * photons per joule. Source of the law: Chen, Ferracane, Prahl 2007 (published).
double bleaching_cm2_per_j(AbsorptionReading reading, double quantum_yield_of_loss, double epsilon_l_per_mol_cm,
                           double wavelength_nm);

/// Share [0..1] of an initiator that is left after a fluence: exp(-kappa H).
double share_left(double bleaching_cm2_per_j, double fluence_j_per_cm2);

}  // namespace throughcure::optics
