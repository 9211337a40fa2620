// The readers of a case, TOML and JSON, on any bytes: they never break, a case that they vouch for can be used, and a
// document goes from one notation to the other and back unchanged.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/resolved_case.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/exchange/toml_text.hpp"

using namespace throughcure;

namespace {

/// One light and two materials, whatever their names: this is about the case.
exchange::CaseFiles files() {
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

void check(const plan::Case& plan) {
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

}  // namespace

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const exchange::CaseFiles known = files();
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  base::Problems problems;
  const auto from_toml = exchange::parse_case(text, "fuzz.toml", known, problems);
  if (from_toml.has_value() != problems.empty()) std::abort();
  if (from_toml) check(*from_toml);

  problems.clear();
  const auto from_json = exchange::parse_case_json(text, "fuzz.json", known, problems);
  if (from_json.has_value() != problems.empty()) std::abort();
  if (from_json) check(*from_json);

  problems.clear();
  const exchange::TomlDocument file = exchange::TomlDocument::parse(text, "fuzz.toml");
  if (!file.problems().empty()) return 0;
  const exchange::PlainTable document = file.plain();
  if (!file.problems().empty()) return 0;
  const std::string json = exchange::json_text(document);
  const auto back = exchange::parse_json(json, "fuzz.json", problems);
  if (!back ||
      exchange::json_text(exchange::TomlDocument::parse(exchange::toml_text(*back), "back.toml").plain()) != json)
    std::abort();
  return 0;
}
