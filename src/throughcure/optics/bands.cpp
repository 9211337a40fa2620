#include "throughcure/optics/bands.hpp"

#include <algorithm>

namespace throughcure::optics {

namespace {

double largest_epsilon(const Initiator& initiator) {
  double largest = 0;
  for (const EpsilonPoint& point : initiator.spectrum) largest = std::max(largest, point.epsilon.value);
  return largest;
}

}  // namespace

std::vector<Band> violet_and_blue() {
  return {{"violet", kVioletFrom_nm, kVioletTo_nm}, {"blue", kVioletTo_nm, kBlueTo_nm}};
}

std::vector<Band> bands_that_cure(std::span<const Band> candidates, const Emission& emitter,
                                  std::span<const Initiator> initiators, double least_share) {
  const double all = power_between(emitter, emitter.wavelength_nm.front(), emitter.wavelength_nm.back());
  std::vector<Band> kept;
  for (const Band& band : candidates) {
    if (power_between(emitter, band.from_nm, band.to_nm) < least_share * all) continue;
    const bool absorbed = std::ranges::any_of(initiators, [&](const Initiator& initiator) {
      const double mean = mean_epsilon(initiator, emitter, band.from_nm, band.to_nm);
      return mean > 0 && mean >= least_share * largest_epsilon(initiator);
    });
    if (absorbed) kept.push_back(band);
  }
  return kept;
}

}  // namespace throughcure::optics
