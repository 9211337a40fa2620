// An initiator of which only its absorption counts.
#pragma once

#include <utility>
#include <vector>

#include "throughcure/optics/initiator.hpp"

namespace throughcure::tests {

/// With these molar absorption coefficients [L/mol/cm] at these wavelengths [nm].
inline optics::Initiator initiator(const std::vector<std::pair<double, double>>& points) {
  optics::Initiator made{.id = "test", .name = "test", .short_name = "T", .molar_mass = {.value = 200}, .spectrum = {}};
  for (const auto& [nm, epsilon] : points) made.spectrum.push_back({nm, {.value = epsilon}});
  return made;
}

}  // namespace throughcure::tests
