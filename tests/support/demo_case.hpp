// The demo's case, put together from the demo's own light and materials.
#pragma once

#include <filesystem>

#include "support/demo_site.hpp"
#include "throughcure/exchange/light_file.hpp"
#include "throughcure/exchange/material_file.hpp"
#include "throughcure/exchange/reference_cure.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/plan/aim.hpp"
#include "throughcure/plan/case.hpp"
#include "throughcure/plan/ground.hpp"

namespace throughcure::tests {

/// The site, light and materials of the demo without a schedule; the light gives exactly what it states.
inline plan::Case demo_case(const std::filesystem::path& demo) {
  const exchange::SteelOptics& steel = exchange::reference_steel();
  const exchange::Surrounds& around = exchange::reference_surrounds();
  const auto one = [](double value) { return base::Sourced{.value = value}; };
  return {.name = "demo molar",
          .site = demo_site(),
          .materials = {exchange::read_material(demo / "materials" / "universal-paste-a3.toml")},
          .increment_materials = {0, 0, 0},
          .adhesive = exchange::read_material(demo / "materials" / "adhesive.toml"),
          .tissues = exchange::reference_tissues(),
          .wedge = around.wedge,
          .dam = around.dam,
          .clear_band = around.clear_band,
          .band_reflectance = steel.reflectance,
          .band_specular_share = steel.specular_share,
          .mould_reflectance = steel.reflectance,
          .light = exchange::read_light(demo / "lights" / "demo-light.toml"),
          .output_share = one(1),
          .barrier_pass = one(1),
          .tooth_c = 37,
          .hand = {},
          .schedule = {},
          .patient = {}};
}

/// Each increment lit for so long with the same pose (state 0 is the bare adhesive).
inline std::vector<plan::Exposure> each_increment(const plan::Pose& pose, double seconds) {
  std::vector<plan::Exposure> schedule;
  for (std::size_t state = 1; state <= 3; ++state) {
    schedule.push_back({.state = state, .pose = pose, .mode = 0, .seconds = seconds, .pause_before_s = 0});
  }
  return schedule;
}

}  // namespace throughcure::tests
