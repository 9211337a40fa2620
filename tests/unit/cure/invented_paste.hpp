// A paste that tests may calibrate: the priors of the reference, optics near those of a dark shade, an exponential
// mould.
#pragma once

#include <cmath>

#include "throughcure/cure/scrape.hpp"
#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::cure::invented {

inline DrawSource make_paste() {
  optics::Initiator cq{.id = "cq", .name = "cq", .short_name = "cq", .molar_mass = {.value = 166.22}, .spectrum = {}};
  cq.spectrum.push_back({405, {.value = 4}});
  cq.spectrum.push_back({469, {.value = 46}});
  DrawSource source{.priors = exchange::reference_cure(),
                    .material = {},
                    .mould_reflectance = {.value = 0.5, .low = 0.3, .high = 0.7}};
  source.material.name = "invented paste";
  optics::ResinOptics& optics = source.material.optics;
  optics.n = {.value = 1.53};
  optics.g = {.value = 0.8};
  optics.scattering_blue_per_mm = {.value = 2, .low = 1, .high = 3.5};
  optics.scattering_violet_per_mm = {.value = 2.3, .low = 1.1, .high = 4};
  optics.rest_blue_per_mm = {.value = 0.03, .low = 0, .high = 0.12};
  optics.rest_violet_per_mm = {.value = 0.2, .low = 0.1, .high = 0.4};
  optics.resin_volume_fraction = {.value = 0.42, .low = 0.35, .high = 0.5};
  optics.resin_density_g_ml = {.value = 1.15};
  optics.initiators = {{cq, {.value = 0.3, .low = 0.2, .high = 0.5}}};
  return source;
}

inline const DrawSource& paste() {
  static const DrawSource made = make_paste();
  return made;
}

/// Stands for a simulated mould: four times the exitance near the lit end, falling off as diffuse light does.
inline MouldProfile mould(const Draw& draw) {
  constexpr double kAbsorption = 0.12;
  constexpr double kScattering = 2;
  const double attenuation = optics::effective_attenuation_per_mm(draw.absorption_factor.blue * kAbsorption,
                                                                  draw.scattering_factor.blue * kScattering);
  MouldProfile profile;
  for (int i = 0; i <= 40; ++i) {
    profile.depth_mm.push_back(0.25 * i);
    profile.phi_per_exitance.push_back(4 * std::exp(-attenuation * 0.25 * i));
  }
  return profile;
}

}  // namespace throughcure::cure::invented
