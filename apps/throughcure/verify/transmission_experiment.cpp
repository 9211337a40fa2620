// Discs of composite, tooth or gum: what our priors, drawn from their ranges, let through.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <variant>
#include <vector>

#include "experiments.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/optics/initiator.hpp"
#include "throughcure/optics/medium.hpp"
#include "throughcure/transport/slab.hpp"

namespace throughcure::verify {

namespace {

constexpr std::uint32_t kStream = 77;
constexpr std::size_t kDraws = 60;
constexpr std::uint64_t kPhotons =
    2'000;  ///< of each draw; what their scatter adds to the interval is small beside the spread of draws

// Source: camphorquinone in resins, 0.2 to 1.0 wt%: Howard et al. 2010, Acta Biomater; Chen, Ferracane, Prahl 2007,
// Dent Mater 23(6):655-664 (0.7); kind: published. The middle is common practice.
const base::Sourced kCamphorquinonePercent{.value = 0.5, .low = 0.2, .high = 1.0, .unit = "%"};
constexpr double kBlueLight_nm = 460;

/// A number between its low and high, half of the draws on each side of its value.
double drawn(const base::Sourced& number, double u) {
  const double low = number.low.value_or(number.value);
  const double high = number.high.value_or(number.value);
  return u < 0.5 ? low + (number.value - low) * 2 * u : number.value + (high - number.value) * (2 * u - 1);
}

optics::OpticalProperties properties(double n, double mua, double reduced, double g) {
  return {.n = n, .mua_per_mm = mua, .mus_per_mm = reduced / (1 - g), .g = g};
}

optics::OpticalProperties draw(const optics::TissueOptics& tissue, base::Stream& random) {
  const double n = drawn(tissue.n, random.uniform());
  const double mua = drawn(tissue.absorption_per_mm, random.uniform());
  const double reduced = drawn(tissue.scattering_per_mm, random.uniform());
  return properties(n, mua, reduced, drawn(tissue.g, random.uniform()));
}

struct Resin {
  exchange::ClassOptics optics;
  base::Sourced shade;
  optics::Initiator initiator;
};

optics::OpticalProperties draw(const Resin& resin, base::Stream& random) {
  const double concentration =
      optics::concentration_mol_per_l(resin.initiator, drawn(kCamphorquinonePercent, random.uniform()),
                                      drawn(resin.optics.resin_density_g_ml, random.uniform()));
  const double share =
      optics::initiator_absorption_per_mm(resin.initiator.reading, optics::epsilon_at(resin.initiator, kBlueLight_nm),
                                          concentration, drawn(resin.optics.resin_volume_fraction, random.uniform()));
  const double reduced = drawn(resin.optics.scattering_blue_per_mm, random.uniform());
  const double medium = drawn(resin.optics.rest_blue_per_mm, random.uniform()) + share;
  // A shade attenuates by its factor more: pigment adds absorption until it does.
  const double attenuation =
      drawn(resin.shade, random.uniform()) * optics::effective_attenuation_per_mm(medium, reduced);
  const double mua = optics::absorption_for_attenuation_per_mm(attenuation, reduced);
  const double n = drawn(resin.optics.n, random.uniform());
  return properties(n, mua, reduced, drawn(resin.optics.g, random.uniform()));
}

using Medium = std::variant<optics::TissueOptics, Resin>;

Medium medium_of(const exchange::TransmissionQuestion& question) {
  if (const auto* material = std::get_if<cure::MaterialClass>(&question.medium)) {
    std::vector<optics::Initiator> known = exchange::reference_initiators();
    const auto found = std::ranges::find(known, "camphorquinone", &optics::Initiator::id);
    return Resin{exchange::reference_class_optics(*material), exchange::reference_shade_attenuation(question.shade),
                 found == known.end() ? known.front() : *found};
  }
  const optics::Tissues tissues = exchange::reference_tissues();
  switch (std::get<exchange::TransmissionQuestion::Tissue>(question.medium)) {
    case exchange::TransmissionQuestion::Tissue::kEnamel:
      return tissues.enamel;
    case exchange::TransmissionQuestion::Tissue::kDentine:
      return tissues.dentine;
    case exchange::TransmissionQuestion::Tissue::kGingiva:
      break;
  }
  return tissues.gingiva;
}

}  // namespace

Answer answer(const exchange::TransmissionQuestion& question, const base::Running& running) {
  const Medium medium = medium_of(question);
  std::vector<double> found(kDraws);
  base::for_each_batch(kDraws, running, "draws", [&](std::size_t i) {
    base::Stream random(1, kStream, i);
    const optics::OpticalProperties p = std::visit([&](const auto& known) { return draw(known, random); }, medium);
    const transport::SlabResult result = transport::run_slab(
        {.layers = {{p.mua_per_mm, p.mus_per_mm, p.g, p.n, question.thickness_mm}}, .photons = kPhotons, .seed = i + 1},
        {.stop = running.stop});
    found[i] = question.quantity == exchange::TransmissionQuestion::Quantity::kTransmitted
                   ? result.Tt.value
                   : result.Rsp.value + result.Rd.value;
  });
  std::ranges::sort(found);
  const auto quantile = [&](double q) { return found[static_cast<std::size_t>(std::lround(q * (kDraws - 1)))]; };
  return {.value = quantile(0.5), .low = quantile(0.1), .high = quantile(0.9)};
}

}  // namespace throughcure::verify
