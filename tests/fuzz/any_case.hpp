// What the targets that read a case have in common: the files that it may name, and what one that was vouched for owes.
#pragma once

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <optional>

#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/exchange/case_files.hpp"
#include "throughcure/exchange/resolved_case.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/plan/case.hpp"

namespace throughcure::fuzz {

/// One light and two materials, whatever their names: this is about the case.
inline exchange::CaseFiles any_files() {
  exchange::CaseFiles known{.folder = "/folder", .inside_only = true, .light = {}, .material = {}};
  known.light = [](const auto&, auto&) {
    optics::Light light;
    light.name = "light";
    light.modes = {{"standard", optics::Continuous{}, {5, 10, 20}}, {"ramp", optics::Ramp{0, 5, 1}, {10}}};
    light.tip_diameter_mm = 8;
    light.spectrum = {.wavelength_nm = {400, 500}, .power_per_nm = {1, 1}};
    return std::optional(light);
  };
  known.material = [](const std::filesystem::path& path, auto&) {
    cure::Material material;
    material.name = path.stem().string();
    if (material.name == "adhesive") material.material_class = cure::MaterialClass::kAdhesive;
    return std::optional(material);
  };
  return known;
}

/// Aborts where the case cannot be used.
inline void check(const plan::Case& plan) {
  bool sound = site_problems(plan.site).empty() && !plan.schedule.empty() && !plan.materials.empty() &&
               plan.increment_materials.size() == plan.site.restoration.increments.size();
  for (const std::size_t material : plan.increment_materials) sound = sound && material < plan.materials.size();
  std::size_t latest = 0;
  for (const plan::Exposure& one : plan.schedule) {
    sound = sound && one.state >= latest && one.state < scene_states(plan.site).size() &&
            one.mode < plan.light.modes.size() && one.seconds > 0 && one.pose.standoff_mm >= 0 &&
            one.pause_before_s >= 0 && std::isfinite(length(one.pose.aim - base::Point{})) &&
            dot(outward(one.pose.from), outward(one.pose.tilt_to)) == 0;
    latest = one.state;
  }
  sound = sound && plan.barrier_pass.value > 0 && plan.barrier_pass.value <= 1 && plan.output_share.value > 0;
  sound = sound && exchange::TomlDocument::parse(exchange::resolved_case_toml(plan), "resolved").problems().empty();
  if (!sound) std::abort();
}

}  // namespace throughcure::fuzz
