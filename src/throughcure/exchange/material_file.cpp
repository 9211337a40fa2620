#include "throughcure/exchange/material_file.hpp"

#include <utility>

#include "throughcure/exchange/resin_reader.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

using base::Provenance;
using cure::MaterialClass;

constexpr Count kFacts{.at_least = 0, .at_most = 200};
constexpr Limits kDepth{.above = 0, .at_most = 20, .unit = "mm"};
constexpr Limits kSeconds{.above = 0, .at_most = 600, .unit = "s"};
constexpr Limits kIrradiance{.at_least = 10, .at_most = 10'000, .unit = "mW/cm2"};
constexpr Limits kConversion{.above = 0, .below = 1};

MaterialClass read_class(const TomlTable& material) {
  using enum MaterialClass;
  return material.choice<MaterialClass>("class", {{word(kPaste), kPaste},
                                                  {word(kFlowable), kFlowable},
                                                  {word(kBulkFill), kBulkFill},
                                                  {word(kAdhesive), kAdhesive},
                                                  {word(kCement), kCement},
                                                  {word(kSealant), kSealant},
                                                  {word(kBracketAdhesive), kBracketAdhesive}});
}

/// Exactly one of two keys must say with which light a test was made.
void want_one_of(const TomlTable& entry, bool first, bool second, const std::string& a, const std::string& b) {
  if (first && second) entry.refuse("", "both " + a + " and " + b + " are given", "Give the one that was measured");
  if (!first && !second) entry.refuse("", "neither " + a + " nor " + b + " is given", "Give one of them");
}

cure::IfuStatement read_instructions(const TomlTable& entry, const Provenance& otherwise) {
  return {.depth_mm = entry.number("depth_mm", kDepth),
          .seconds = entry.number("seconds", kSeconds),
          .irradiance_mw_cm2 = entry.number("irradiance_mw_cm2", kIrradiance),
          .provenance = read_provenance(entry, otherwise)};
}

cure::ScrapeTest read_scrape(const TomlTable& entry, const Provenance& otherwise) {
  cure::ScrapeTest test;
  test.depth_mm = entry.number("depth_mm", kDepth);
  test.seconds = entry.number("seconds", kSeconds);
  test.light.irradiance_mw_cm2 = entry.optional_number("irradiance_mw_cm2", kIrradiance);
  test.light.light_file = entry.optional_file("light");
  want_one_of(entry, entry.has("irradiance_mw_cm2"), entry.has("light"), "irradiance_mw_cm2", "light");
  const auto or_default = [&](std::string_view key, const Limits& limits, double& value) {
    value = entry.optional_number(key, limits).value_or(value);
  };
  or_default("standoff_mm", {.at_least = 0, .at_most = 50, .unit = "mm"}, test.standoff_mm);
  or_default("mould_diameter_mm", {.at_least = 1, .at_most = 20, .unit = "mm"}, test.mould_diameter_mm);
  or_default("temperature_c", {.at_least = 0, .at_most = 60, .unit = "C"}, test.temperature_c);
  or_default("sd_mm", {.above = 0, .at_most = 5, .unit = "mm"}, test.sd_mm);
  test.provenance = read_provenance(entry, otherwise);
  return test;
}

cure::Detector read_detector(const TomlTable& entry) {
  if (entry.choice("detector", {"integrating sphere", "irradiance sensor"}) == "integrating sphere") {
    return cure::IntegratingSphere{};
  }
  return cure::IrradianceSensor{
      .aperture_mm = entry.number("aperture_mm", {.above = 0, .at_most = 50, .unit = "mm"}),
      .gap_mm = entry.optional_number("gap_mm", {.at_least = 0, .at_most = 100, .unit = "mm"}).value_or(0)};
}

cure::DiscTransmission read_disc(const TomlTable& entry, const Provenance& otherwise) {
  cure::DiscTransmission disc{
      .fraction = entry.number("fraction", {.above = 0, .below = 1}),
      .thickness_mm = entry.number("thickness_mm", kDepth),
      .diameter_mm = entry.number("diameter_mm", {.at_least = 1, .at_most = 50, .unit = "mm"}),
      .cured = entry.flag("cured"),
      .detector = read_detector(entry),
      .wavelength_nm = entry.optional_number("wavelength_nm", {.at_least = 350, .at_most = 600, .unit = "nm"}),
      .light_file = entry.optional_file("light")};
  want_one_of(entry, entry.has("wavelength_nm"), entry.has("light"), "wavelength_nm", "light");
  if (const auto sd = entry.optional_number("sd_fraction", {.above = 0, .at_most = 1})) disc.sd_fraction = *sd;
  disc.provenance = read_provenance(entry, otherwise);
  return disc;
}

std::optional<cure::Material> read(TomlDocument file, base::Problems& problems) {
  const TomlTable root = file.root();
  const TomlTable head = root.table("material");
  cure::Material material;
  material.name = head.text("name");
  material.material_class = read_class(head);
  material.shade = head.text("shade");
  const Provenance provenance = read_provenance(head);

  material.optics = read_resin(root, material.material_class, provenance);

  const TomlTable limits = root.table_or_empty("limits");
  material.limits.limiting_conversion = optional_ranged_number(limits, "limiting_conversion", kConversion, provenance);
  material.limits.scrape_conversion = optional_ranged_number(limits, "scrape_conversion", kConversion, provenance);
  material.limits.exponent = optional_ranged_number(limits, "exponent", {.at_least = 0.3, .at_most = 1}, provenance);

  for (const TomlTable& entry : root.tables("instructions", kFacts)) {
    material.instructions.push_back(read_instructions(entry, provenance));
  }
  for (const TomlTable& entry : root.tables("scrape", kFacts)) {
    material.scrapes.push_back(read_scrape(entry, provenance));
  }
  for (const TomlTable& entry : root.tables("disc", kFacts)) material.discs.push_back(read_disc(entry, provenance));

  base::Problems found = file.finish();
  if (found.empty()) return material;
  problems.insert(problems.end(), std::make_move_iterator(found.begin()), std::make_move_iterator(found.end()));
  return std::nullopt;
}

}  // namespace

cure::Material read_material(const std::filesystem::path& path) {
  base::Problems problems;
  auto material = read_material(path, problems);
  if (!material) throw base::InputError(std::move(problems));
  return *std::move(material);
}

std::optional<cure::Material> read_material(const std::filesystem::path& path, base::Problems& problems) {
  return read(TomlDocument::open(path), problems);
}

std::optional<cure::Material> parse_material(std::string_view text, std::string name, std::filesystem::path folder,
                                             base::Problems& problems) {
  return read(TomlDocument::parse(text, std::move(name), std::move(folder)), problems);
}

}  // namespace throughcure::exchange
