// What light meets inside a medium: the four numbers of transport, and how a resin or a tissue comes by them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/optics/initiator.hpp"

namespace throughcure::optics {

/// A homogeneous medium at one wavelength or in one band.
struct OpticalProperties {
  double n = 1;           ///< refractive index
  double mua_per_mm = 0;  ///< absorption coefficient [1/mm]
  double mus_per_mm = 0;  ///< scattering coefficient [1/mm]
  double g = 0;           ///< mean cosine of scattering
};

/// Reduced scattering coefficient mus' = mus (1 - g) [1/mm].
double reduced_scattering_per_mm(const OpticalProperties& medium);

/// Attenuation of diffuse light deep inside a wide medium [1/mm]: sqrt(3 mua (mua + mus')).
/// Source: diffusion theory; manual of MCML, Wang & Jacques 1992, equations 6.1 and 6.2 (published).
double effective_attenuation_per_mm(double mua_per_mm, double reduced_scattering_per_mm);

/// The absorption [1/mm] at which `effective_attenuation_per_mm` gives `attenuation_per_mm`.
double absorption_for_attenuation_per_mm(double attenuation_per_mm, double reduced_scattering_per_mm);

/// A coefficient [1/mm] that changes with wavelength: known at 405 nm and at 460 nm, a straight line between them, and
/// the nearer of the two outside.
struct VioletBlue {
  double violet = 0;
  double blue = 0;
};
inline constexpr double kViolet_nm = 405;
inline constexpr double kBlue_nm = 460;
double at_wavelength(const VioletBlue& coefficient, double wavelength_nm);

/// Light that falls off as a power of the wavelength: the value at 405 nm of a mus' known at 460 nm.
/// Source: mus' = a lambda^-b, the usual power law of turbid media (common practice).
double scattering_at_violet_per_mm(double at_blue_per_mm, double power);

/// How much of an initiator is in a resin.
struct InitiatorContent {
  Initiator initiator;
  base::Sourced mass_percent_of_resin;  ///< [wt%] of the resin, filler not counted
};

/// What is known of a resin's optics: each number with its range and its source.
struct ResinOptics {
  base::Sourced n;
  base::Sourced g;
  base::Sourced scattering_blue_per_mm;    ///< mus' at 460 nm [1/mm]
  base::Sourced scattering_violet_per_mm;  ///< mus' at 405 nm [1/mm]
  base::Sourced rest_blue_per_mm;          ///< absorption without the initiators at 460 nm [1/mm]
  base::Sourced rest_violet_per_mm;        ///< the same at 405 nm [1/mm]
  base::Sourced resin_volume_fraction;     ///< [0..1] of the whole
  base::Sourced resin_density_g_ml;        ///< [g/mL]
  std::vector<InitiatorContent> initiators;
};

/// One choice of all those numbers: the nominal one, or a draw from their ranges.
struct ResinValues {
  double n = 1.5;
  double g = 0;
  VioletBlue scattering_per_mm;
  VioletBlue rest_per_mm;  ///< >= 0: the medium never absorbs less than its initiators do
  double resin_volume_fraction = 1;
  double resin_density_g_ml = 1;
  std::vector<double> mass_percent_of_resin;  ///< of each initiator, in the order of ResinOptics
};
ResinValues nominal(const ResinOptics& resin);

/// What each initiator of the resin, still whole, absorbs [1/mm] where its molar absorption coefficients are these
/// [L/mol/cm, in the order of the resin's initiators]: those of a band (`mean_epsilon`), or of one wavelength.
std::vector<double> initiator_shares_per_mm(const ResinOptics& resin, const ResinValues& values,
                                            std::span<const double> epsilons);

/// The same at one wavelength.
std::vector<double> initiator_shares_per_mm(const ResinOptics& resin, const ResinValues& values, double wavelength_nm);

/// The resin at a wavelength, or in a band whose mean wavelength this is: rest + sum of share * left. `left` [0..1]
/// says how much of each initiator is still there; empty means all of it.
OpticalProperties resin_properties(const ResinValues& values, double wavelength_nm,
                                   std::span<const double> shares_per_mm, std::span<const double> left = {});

/// A tooth's or gum's tissue: one set of values for violet and blue, for the sources do not part them.
struct TissueOptics {
  std::string name;
  base::Sourced n;
  base::Sourced absorption_per_mm;
  base::Sourced scattering_per_mm;  ///< reduced, mus'
  base::Sourced g;
};
struct Tissues {
  TissueOptics enamel;
  TissueOptics dentine;
  TissueOptics pulp;
  TissueOptics gingiva;
};
OpticalProperties nominal(const TissueOptics& tissue);

}  // namespace throughcure::optics
