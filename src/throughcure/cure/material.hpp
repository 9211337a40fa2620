// A light-cured material as a practice or a laboratory knows it: its class, its optics, and facts that calibrate it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/optics/medium.hpp"

namespace throughcure::cure {

enum class MaterialClass : std::uint8_t {
  kPaste,
  kFlowable,
  kBulkFill,
  kAdhesive,
  kCement,
  kSealant,
  kBracketAdhesive,
};

/// "bulk-fill", "bracket adhesive", ...: the word in files and on screen.
std::string_view word(MaterialClass material_class);

/// The instructions for use: this thickness cures in this time at this irradiance or more. One-sided: it may well cure
/// deeper, and it is never a licence to expose for less.
struct IfuStatement {
  double depth_mm = 0;
  double seconds = 0;
  double irradiance_mw_cm2 = 0;
  base::Provenance provenance{};
};

/// Which light a test was made with: its irradiance at the specimen, or the file of a light (a name: this room opens
/// no files).
struct TestLight {
  std::optional<double> irradiance_mw_cm2{};
  std::optional<std::filesystem::path> light_file{};
};

/// A scrape test after ISO 4049: `depth_mm` is half the length that stays after scraping. Read at once.
struct ScrapeTest {
  double depth_mm = 0;
  double seconds = 0;
  TestLight light{};
  double standoff_mm = 0;
  double mould_diameter_mm = 4;
  double temperature_c = 23;
  double sd_mm = 0.15;  ///< scatter of one such test inside one laboratory
  base::Provenance provenance{};
};

/// All the light that leaves the far side, whatever its direction.
struct IntegratingSphere {};
/// An irradiance sensor with this aperture behind the disc, `gap_mm` away from it.
struct IrradianceSensor {
  double aperture_mm = 0;
  double gap_mm = 0;
};
using Detector = std::variant<IntegratingSphere, IrradianceSensor>;

/// Light through a disc, as a share of what the same detector reads without it.
struct DiscTransmission {
  double fraction = 0;
  double thickness_mm = 0;
  double diameter_mm = 0;
  bool cured = true;
  Detector detector{};
  std::optional<double> wavelength_nm{};  ///< one of these two says with which light
  std::optional<std::filesystem::path> light_file{};
  double sd_fraction = 0.05;  ///< scatter, relative to `fraction`
  base::Provenance provenance{};
};

/// Limits of the rate law that are known for this very material; what is not here comes from the class's prior.
struct KnownLimits {
  std::optional<base::Sourced> limiting_conversion{};  ///< X_lim at the reference temperature [0..1]
  std::optional<base::Sourced> scrape_conversion{};    ///< X at the boundary that a spatula finds [0..1]
  std::optional<base::Sourced> exponent{};             ///< p of the rate law
};

struct Material {
  std::string name;
  MaterialClass material_class = MaterialClass::kPaste;
  std::string shade;
  optics::ResinOptics optics;
  KnownLimits limits;
  std::vector<IfuStatement> instructions;
  std::vector<ScrapeTest> scrapes;
  std::vector<DiscTransmission> discs;
};

}  // namespace throughcure::cure
