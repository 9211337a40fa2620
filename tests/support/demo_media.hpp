// The demo site's media in the blue, from the nominal values of the reference, for tests of transport.
#pragma once

#include <string>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/medium.hpp"

namespace throughcure::tests {

/// By medium name. Tissue values: optics reference, section 2a (400 nm set, published, second hand) with enamel's
/// scattering as the whole-tooth attenuation asks; resin and steel: middle of their priors; the rest made up for tests.
inline transport::Media demo_media(const anatomy::Scene& scene) {
  transport::Media media;
  for (const std::string& name : scene.medium_names) {
    if (name == "air") {
      media.push_back(transport::air());
    } else if (name.ends_with("enamel")) {
      media.push_back({.n = 1.633, .mua_per_mm = 0.06, .mus_per_mm = 8, .g = 0.9});
    } else if (name.ends_with("dentine")) {
      media.push_back({.n = 1.54, .mua_per_mm = 0.2, .mus_per_mm = 7.2, .g = 0.93});
    } else if (name == "pulp" || name == "gingiva") {
      media.push_back({.n = 1.39, .mua_per_mm = 1, .mus_per_mm = 10, .g = 0.8});
    } else if (name == "adhesive") {
      media.push_back({.n = 1.52, .mua_per_mm = 0.5, .mus_per_mm = 0.3, .g = 0.7});
    } else if (name == "matrix") {
      media.push_back({.kind = transport::MediumKind::metal, .reflectance = 0.5, .specular = 0.5});
    } else if (name.starts_with("increment")) {
      media.push_back({.n = 1.53, .mua_per_mm = 0.22, .mus_per_mm = 6.7, .g = 0.7});
    } else {
      media.push_back({.n = 1.5, .mua_per_mm = 0.2, .mus_per_mm = 5, .g = 0.8});
    }
  }
  return media;
}

}  // namespace throughcure::tests
