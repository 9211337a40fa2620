// What needs no photons: Fresnel, Henyey-Greenstein, initiators, photons in a joule.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "experiments.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/optics/initiator.hpp"
#include "throughcure/optics/photons.hpp"
#include "throughcure/transport/optics_laws.hpp"

namespace throughcure::verify {

namespace {

/// Mid-points in [0, 1], and the error that they leave in the integrals here, where a sum of twice as many moves less.
constexpr int kSteps = 200'000;
constexpr double kQuadrature = 1e-7;
/// What is left of the last bits of arithmetic.
constexpr double kRoundOff = 1e-12;

template <class F>
double mean_over_unit(F f) {
  double sum = 0;
  for (int i = 0; i < kSteps; ++i) sum += f((i + 0.5) / kSteps);
  return sum / kSteps;
}

optics::Initiator initiator_named(const std::string& id) {
  for (const optics::Initiator& initiator : exchange::reference_initiators()) {
    if (initiator.id == id) return initiator;
  }
  base::refuse_if_any({{"", 0, 0, "initiator", "'" + id + "' is not in the reference",
                        "Name one of reference/initiators.toml, for example camphorquinone"}});
  return {};
}

}  // namespace

Answer answer(const exchange::FresnelQuestion& question) {
  const transport::Boundary found = transport::fresnel(question.n1, question.n2, question.cosine);
  const bool reflectance = question.quantity == exchange::FresnelQuestion::Quantity::kReflectance;
  return {.value = reflectance ? found.reflectance : found.cos_beyond, .tolerance = kRoundOff};
}

Answer answer(const exchange::PhaseFunctionQuestion& question) {
  using enum exchange::PhaseFunctionQuestion::Quantity;
  if (question.quantity == kForwardHalf) {
    const double share =
        2 * std::numbers::pi * mean_over_unit([&](double c) { return transport::henyey_greenstein(question.g, c); });
    return {.value = share, .tolerance = kQuadrature};
  }
  const double cosine = question.quantity == kForward ? 1 : -1;
  return {.value = transport::henyey_greenstein(question.g, cosine), .tolerance = kRoundOff};
}

Answer answer(const exchange::DiffuseFresnelQuestion& question) {
  const double mean =
      mean_over_unit([&](double mu) { return 2 * mu * transport::fresnel(question.n1, question.n2, mu).reflectance; });
  return {.value = mean, .tolerance = kQuadrature};
}

Answer answer(const exchange::InitiatorQuestion& question) {
  using enum exchange::InitiatorQuestion::Quantity;
  const optics::Initiator initiator = initiator_named(question.initiator);
  const double epsilon = optics::epsilon_at(initiator, question.at_nm);
  if (question.quantity == kBleachingCm2PerJ) {
    if (!initiator.quantum_yield_of_loss) return {};
    return {.value = optics::bleaching_cm2_per_j(initiator.reading, initiator.quantum_yield_of_loss->value, epsilon,
                                                 question.at_nm)};
  }
  const double concentration = optics::concentration_mol_per_l(initiator, question.mass_percent, question.density_g_ml);
  if (question.quantity == kConcentrationMolPerL) return {.value = concentration};
  return {.value = optics::initiator_absorption_per_mm(initiator.reading, epsilon, concentration, 1)};
}

Answer answer(const exchange::PhotonsQuestion& question) {
  return {.value = 1e6 * optics::photons_mol_per_j(question.at_nm)};
}

}  // namespace throughcure::verify
