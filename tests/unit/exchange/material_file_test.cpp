// Material files: what is read, what is filled in from the class, and what is said about a wrong one.
#include "throughcure/exchange/material_file.hpp"

#include <numeric>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::exchange {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::UnorderedElementsAre;

const std::string kDemo = THROUGHCURE_SOURCE_DIR "/demo/materials/";

const std::string kHead = R"([material]
name = "a paste"
class = "paste"
shade = "A2"
kind = "published"
source = "a paper"
)";
const std::string kInitiator = R"([[initiator]]
name = "camphorquinone"
mass_percent_of_resin = 0.5
)";

cure::Material sound(const std::string& text) {
  base::Problems problems;
  auto material = parse_material(text, "m.toml", "/data", problems);
  if (!material) throw base::InputError(problems);
  return *std::move(material);
}

std::vector<std::string> wrong(const std::string& text) {
  base::Problems problems;
  EXPECT_FALSE(parse_material(text, "m.toml", "/data", problems).has_value());
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

double attenuation(const cure::Material& material, double nm) {
  const auto values = nominal(material.optics);
  const auto medium = resin_properties(values, nm, initiator_shares_per_mm(material.optics, values, nm));
  return optics::effective_attenuation_per_mm(medium.mua_per_mm, reduced_scattering_per_mm(medium));
}

TEST(MaterialFile, TheDemoPasteIsReadAsItStands) {
  const cure::Material paste = read_material(kDemo + "universal-paste-a3.toml");
  EXPECT_EQ(paste.name, "universal paste, dark shade A3");
  EXPECT_EQ(paste.material_class, cure::MaterialClass::kPaste);
  ASSERT_EQ(paste.scrapes.size(), 1U);
  EXPECT_EQ(paste.scrapes[0].depth_mm, 2.8);
  EXPECT_EQ(paste.scrapes[0].seconds, 20);
  EXPECT_EQ(paste.scrapes[0].light.irradiance_mw_cm2, 1000);
  EXPECT_EQ(paste.scrapes[0].provenance.kind, base::Kind::kInvented);
  ASSERT_EQ(paste.optics.initiators.size(), 1U);
  EXPECT_EQ(paste.optics.initiators[0].mass_percent_of_resin.low, 0.2);
}

TEST(MaterialFile, TheOtherDemoMaterialsAreSound) {
  EXPECT_EQ(read_material(kDemo + "adhesive.toml").material_class, cure::MaterialClass::kAdhesive);
  const cure::Material bulk = read_material(kDemo + "bulk-fill-universal.toml");
  EXPECT_EQ(bulk.instructions.size(), 2U);
  EXPECT_EQ(bulk.optics.initiators.size(), 2U);
}

TEST(MaterialFile, ReadsEveryFactAndItsProvenance) {
  const cure::Material m = sound(kHead + R"([optics]
n = 1.52
g = 0.7
scattering_per_mm = { value = 2.5, low = 2, high = 3, kind = "from memory", source = "" }
scattering_violet_per_mm = 3
rest_absorption_per_mm = 0.04
rest_absorption_violet_per_mm = 0.3
resin_volume_fraction = 0.4
resin_density_g_ml = 1.1
[limits]
limiting_conversion = 0.6
scrape_conversion = { value = 0.12, sd = 0.02 }
exponent = 0.8
[[instructions]]
depth_mm = 2
seconds = 20
irradiance_mw_cm2 = 500
[[scrape]]
depth_mm = 2.5
seconds = 10
light = "../lights/a.toml"
standoff_mm = 1
mould_diameter_mm = 5
temperature_c = 37
sd_mm = 0.1
kind = "standard"
source = "ISO 4049"
[[disc]]
fraction = 0.1
thickness_mm = 2
diameter_mm = 10
cured = true
detector = "irradiance sensor"
aperture_mm = 4
gap_mm = 0.5
wavelength_nm = 460
sd_fraction = 0.1
[[disc]]
fraction = 0.2
thickness_mm = 1
diameter_mm = 10
cured = false
detector = "integrating sphere"
light = "a.toml"
)" + kInitiator);
  EXPECT_EQ(m.optics.n.value, 1.52);
  EXPECT_EQ(m.optics.n.kind, base::Kind::kPublished);
  EXPECT_EQ(m.optics.n.source, "a paper");
  EXPECT_EQ(m.optics.scattering_blue_per_mm.kind, base::Kind::kFromMemory);
  EXPECT_EQ(m.optics.scattering_blue_per_mm.high, 3);
  EXPECT_EQ(m.optics.rest_violet_per_mm.value, 0.3);
  EXPECT_EQ(m.limits.scrape_conversion.value_or(base::Sourced{}).sd, 0.02);
  EXPECT_EQ(m.instructions.at(0).irradiance_mw_cm2, 500);
  EXPECT_EQ(m.scrapes.at(0).light.light_file, "/lights/a.toml");
  EXPECT_EQ(m.scrapes.at(0).mould_diameter_mm, 5);
  EXPECT_EQ(m.scrapes.at(0).provenance.kind, base::Kind::kStandard);
  ASSERT_EQ(m.discs.size(), 2U);
  EXPECT_EQ(std::get<cure::IrradianceSensor>(m.discs[0].detector).aperture_mm, 4);
  EXPECT_TRUE(std::holds_alternative<cure::IntegratingSphere>(m.discs[1].detector));
  EXPECT_FALSE(m.discs[1].cured);
}

// Source of the factor and of the difference: reference/composites.toml.
TEST(MaterialFile, ShadeAndVioletAttenuateMoreAsTheReferenceSays) {
  const std::string rest = kInitiator;
  const cure::Material medium = sound(kHead + rest);
  const cure::Material dark = sound(kHead + "depth_of_shade = \"dark\"\n" + rest);
  EXPECT_NEAR(attenuation(dark, 460) / attenuation(medium, 460), 1.3, 1e-9);
  EXPECT_NEAR(attenuation(medium, 405) - attenuation(medium, 460), 0.55, 1e-9);
  EXPECT_NEAR(attenuation(dark, 405) - attenuation(dark, 460), 0.55, 1e-9);
  EXPECT_LT(dark.optics.rest_blue_per_mm.low.value_or(1e9), dark.optics.rest_blue_per_mm.value);
  EXPECT_GT(dark.optics.rest_blue_per_mm.high.value_or(0), dark.optics.rest_blue_per_mm.value);
  EXPECT_EQ(dark.optics.rest_blue_per_mm.kind, base::Kind::kDerived);
}

TEST(MaterialFile, TheWholeAbsorptionIsNeverBelowTheInitiatorsShare) {
  const cure::Material m = sound(kHead + "[optics]\nabsorption_per_mm = 0.3\n" + kInitiator);
  const auto shares = initiator_shares_per_mm(m.optics, nominal(m.optics), 460);
  EXPECT_NEAR(m.optics.rest_blue_per_mm.value, 0.3 - shares[0], 1e-12);
  EXPECT_THAT(wrong(kHead + "[optics]\nabsorption_per_mm = 0.05\n" + kInitiator),
              ElementsAre(HasSubstr("optics.absorption_per_mm: 0.05 1/mm is below what the initiators alone absorb")));
}

TEST(MaterialFile, EverythingWrongIsFoundInOneGo) {
  EXPECT_THAT(wrong(R"([material]
name = "a paste"
class = "putty"
kind = "published"
source = ""
[optics]
n = 0.9
scattering_per_cm = 20
rest_absorption_per_mm = nan
[[initiator]]
name = "camphorqinone"
mass_percent_of_resin = -0.5
[[scrape]]
depth_cm = 0.28
seconds = -20
irradiance_mw_cm2 = 1000
light = "a.toml"
[[disc]]
fraction = 10
thickness_mm = 2
diameter_mm = 8
cured = true
detector = "eye"
)"),
              UnorderedElementsAre(
                  "m.toml:3:9: material.class: \"putty\" is not known here. Give one of: paste, flowable, bulk-fill, "
                  "adhesive, cement, sealant, bracket adhesive.",
                  HasSubstr("m.toml:1:1: material.shade: it is missing"),
                  HasSubstr("m.toml:5:10: material.source: a number that is published has no source"),
                  HasSubstr("m.toml:7:5: optics.n: 0.9 is below the least allowed, 1"),
                  "m.toml:8:1: optics.scattering_per_cm: this key is not used. Give it as scattering_per_mm: 1 1/cm is "
                  "0.1 1/mm.",
                  HasSubstr("m.toml:9:26: optics.rest_absorption_per_mm: nan is not a number"),
                  HasSubstr("m.toml:11:8: initiator[1].name: \"camphorqinone\" is not known here. Give one of: "
                            "camphorquinone, tpo"),
                  HasSubstr("m.toml:12:25: initiator[1].mass_percent_of_resin: -0.5 wt% is not above 0 wt%"),
                  HasSubstr("m.toml:13:1: scrape[1].depth_mm: it is missing"),
                  "m.toml:14:1: scrape[1].depth_cm: this key is not used. Give it as depth_mm: 1 cm is 10 mm.",
                  HasSubstr("m.toml:15:11: scrape[1].seconds: -20 s is not above 0 s"),
                  HasSubstr("m.toml:13:1: scrape[1]: both irradiance_mw_cm2 and light are given"),
                  HasSubstr("m.toml:19:12: disc[1].fraction: 10 is not below 1"),
                  AllOf(HasSubstr("m.toml:23:12: disc[1].detector: \"eye\" is not known here"),
                        HasSubstr("integrating sphere, irradiance sensor")),
                  HasSubstr("m.toml:18:1: disc[1]: neither wavelength_nm nor light is given")));
}

TEST(MaterialFile, AMaterialNeedsAnInitiatorAndEachOnce) {
  EXPECT_THAT(wrong(kHead), ElementsAre(HasSubstr("initiator: it is missing. Give tables, each under [[initiator]]")));
  EXPECT_THAT(wrong(kHead + kInitiator + kInitiator), ElementsAre(HasSubstr("camphorquinone is given twice")));
}

TEST(MaterialFile, TheDepthOfTheShadeCountsOnlyWhereTheAbsorptionIsNotGiven) {
  EXPECT_THAT(wrong(kHead + "depth_of_shade = \"dark\"\n[optics]\nrest_absorption_per_mm = 0.1\n" + kInitiator),
              ElementsAre(HasSubstr("material.depth_of_shade: this key is not used")));
}

TEST(MaterialFile, AMissingFileIsAProblem) {
  EXPECT_THROW((void)read_material("/no/such/material.toml"), base::InputError);
  base::Problems problems;
  EXPECT_FALSE(read_material("/no/such/material.toml", problems).has_value());
  EXPECT_EQ(problems.size(), 1U);
}

}  // namespace
}  // namespace throughcure::exchange
