#include "throughcure/exchange/reference_optics.hpp"

#include <algorithm>
#include <cstddef>
#include <string>

#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

using optics::AbsorptionReading;

constexpr Limits kShare{.at_least = 0, .at_most = 1};
constexpr Limits kIndex{.at_least = 1, .at_most = 3};
constexpr Limits kPerMm{.at_least = 0, .at_most = 1000, .unit = "1/mm"};

optics::Initiator read_initiator(const TomlTable& entry, const std::string& id) {
  optics::Initiator initiator{
      .id = id,
      .name = entry.text("name"),
      .short_name = entry.text("short"),
      .molar_mass = sourced_number(entry, "molar_mass", {.above = 0, .unit = "g/mol"}),
      .reading = entry.choice<AbsorptionReading>(
          "reading", {{"decadic", AbsorptionReading::kDecadic}, {"Napierian", AbsorptionReading::kNapierian}}),
      .spectrum = {},
      .quantum_yield_of_loss = optional_sourced_number(entry, "quantum_yield_of_loss", kShare),
  };
  const Limits epsilon{.at_least = 0, .unit = "L/mol/cm"};
  for (const TomlTable& point : entry.tables("epsilon", {.at_least = 2, .at_most = 1000})) {
    const double at_nm = point.number("at_nm", {.at_least = 200, .at_most = 1000, .unit = "nm"});
    if (!initiator.spectrum.empty() && at_nm <= initiator.spectrum.back().at_nm) {
      point.refuse("at_nm", "the wavelengths do not rise", "Put the points in the order of their wavelengths");
    }
    initiator.spectrum.push_back({at_nm, sourced_number_here(point, epsilon)});
  }
  return initiator;
}

optics::TissueOptics read_tissue(const TomlTable& root, const std::string& name) {
  const TomlTable entry = root.table(name);
  return {.name = name,
          .n = sourced_number(entry, "n", kIndex),
          .absorption_per_mm = sourced_number(entry, "absorption", kPerMm),
          .scattering_per_mm = sourced_number(entry, "reduced_scattering", kPerMm),
          .g = sourced_number(entry, "g", {.above = -1, .below = 1})};
}

std::string_view word(ShadeDepth depth) {
  switch (depth) {
    case ShadeDepth::kLight:
      return "light";
    case ShadeDepth::kMedium:
      return "medium";
    case ShadeDepth::kDark:
      return "dark";
    case ShadeDepth::kOpaque:
      return "opaque";
  }
  return "";
}

std::vector<optics::Initiator> read_initiators() {
  const TomlDocument file = reference_document("initiators");
  std::vector<optics::Initiator> initiators;
  for (const std::string& id : file.root().keys()) initiators.push_back(read_initiator(file.root().table(id), id));
  base::refuse_if_any(file.problems());
  return initiators;
}

optics::Tissues read_tissues() {
  const TomlDocument file = reference_document("tissues");
  optics::Tissues tissues{.enamel = read_tissue(file.root(), "enamel"),
                          .dentine = read_tissue(file.root(), "dentine"),
                          .pulp = read_tissue(file.root(), "pulp"),
                          .gingiva = read_tissue(file.root(), "gingiva")};
  base::refuse_if_any(file.problems());
  return tissues;
}

Surrounds read_surrounds() {
  const TomlDocument file = reference_document("matrices");
  Surrounds surrounds{.wedge = read_tissue(file.root(), "wedge"),
                      .dam = read_tissue(file.root(), "dam"),
                      .clear_band = read_tissue(file.root(), "clear_band")};
  base::refuse_if_any(file.problems());
  return surrounds;
}

ClassOptics read_class(const TomlTable& root, cure::MaterialClass material_class) {
  const TomlTable common = root.table("optics");
  std::string key(cure::word(material_class));
  std::ranges::replace_if(key, [](char c) { return c == '-' || c == ' '; }, '_');
  const TomlTable own = root.table("class").table(key);
  return {.n = sourced_number(common, "n", kIndex),
          .g = sourced_number(common, "g", {.above = -1, .below = 1}),
          .resin_density_g_ml = sourced_number(common, "resin_density", {.above = 0, .unit = "g/mL"}),
          .resin_volume_fraction = sourced_number(own, "resin_volume_fraction", kShare),
          .scattering_blue_per_mm = sourced_number(own, "reduced_scattering", kPerMm),
          .scattering_power = sourced_number(common, "scattering_power", {.at_least = -4, .at_most = 4}),
          .rest_blue_per_mm = sourced_number(own, "rest_absorption", kPerMm),
          .violet_minus_blue_per_mm = sourced_number(common, "violet_minus_blue_attenuation", kPerMm)};
}

/// All of reference/composites.toml, by the place of the class and of the shade in their enums.
struct Composites {
  std::vector<ClassOptics> by_class;
  std::vector<base::Sourced> by_shade;
};

Composites read_composites() {
  const TomlDocument file = reference_document("composites");
  Composites all;
  using enum cure::MaterialClass;
  for (const cure::MaterialClass one : {kPaste, kFlowable, kBulkFill, kAdhesive, kCement, kSealant, kBracketAdhesive}) {
    all.by_class.push_back(read_class(file.root(), one));
  }
  using enum ShadeDepth;
  for (const ShadeDepth one : {kLight, kMedium, kDark, kOpaque}) {
    all.by_shade.push_back(sourced_number(file.root().table("shade"), word(one), {.above = 0}));
  }
  base::refuse_if_any(file.problems());
  return all;
}

const Composites& composites() {
  static const Composites all = read_composites();
  return all;
}

}  // namespace

const std::vector<optics::Initiator>& reference_initiators() {
  static const std::vector<optics::Initiator> initiators = read_initiators();
  return initiators;
}

const optics::Tissues& reference_tissues() {
  static const optics::Tissues tissues = read_tissues();
  return tissues;
}

const Surrounds& reference_surrounds() {
  static const Surrounds surrounds = read_surrounds();
  return surrounds;
}

const ClassOptics& reference_class_optics(cure::MaterialClass material_class) {
  return composites().by_class.at(static_cast<std::size_t>(material_class));
}

const base::Sourced& reference_shade_attenuation(ShadeDepth depth) {
  return composites().by_shade.at(static_cast<std::size_t>(depth));
}

}  // namespace throughcure::exchange
