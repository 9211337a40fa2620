// Light files: the demo light, half-angles and powers, and what is said about a wrong one.
#include "throughcure/exchange/light_file.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/exchange/beam_image_file.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

const std::string kDemo = THROUGHCURE_SOURCE_DIR "/demo/lights/";

const std::string kSound = R"([light]
name = "a light"
kind = "invented"
source = ""
tip_diameter_mm = 10
radiant_power_mw = 800
head_size_mm = 12
tip_angle_deg = 60
[spectrum]
file = "demo-light/spectrum.csv"
scale = "relative"
[beam]
form = "gaussian"
diameter_mm = 9
[angle]
half_angle_deg = 20
tail_share = 0.2
[[mode]]
name = "standard"
course = "continuous"
buttons_s = [10, 20]
)";

/// The sound file with one text put in another's place.
std::string with(const std::string& old, const std::string& text) {
  std::string file = kSound;
  const std::size_t at = file.find(old);
  if (at == std::string::npos) throw std::invalid_argument(old);
  return file.replace(at, old.size(), text);
}

optics::Light sound(const std::string& text) {
  base::Problems problems;
  auto light = parse_light(text, "l.toml", kDemo, problems);
  if (!light) throw base::InputError(problems);
  return *std::move(light);
}

std::vector<std::string> wrong(const std::string& text) {
  base::Problems problems;
  EXPECT_FALSE(parse_light(text, "l.toml", kDemo, problems).has_value());
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

TEST(LightFile, TheDemoLightIsWhatItSays) {
  const optics::Light light = read_light(kDemo + "demo-light.toml");
  EXPECT_EQ(light.provenance.kind, base::Kind::kInvented);
  EXPECT_EQ(light.tip_diameter_mm, 8);
  EXPECT_NEAR(optics::exitance_mw_cm2(light, light.radiant_power_mw.value), 1000, 1e-9);
  EXPECT_NEAR(optics::exitance_mw_cm2(light, *light.radiant_power_mw.low), 895, 1e-9);
  EXPECT_NEAR(light.radiant_power_mw.value, 502.65, 0.01);
  // Violet and blue.
  EXPECT_GT(optics::share_between(light.spectrum, 385, 425), 0.1);
  EXPECT_GT(optics::share_between(light.spectrum, 425, 515), 0.7);
  EXPECT_EQ(optics::peak_wavelength_nm(light.spectrum), 458);
  EXPECT_EQ(light.modes.size(), 4U);
  EXPECT_EQ(light.modes[0].buttons_s, (std::vector<double>{5, 10, 20}));
}

// The trade's case that the demo stands for: a light that loses 35 to 50 % at 8 mm (common practice).
TEST(LightFile, TheDemoLightLosesWhatItsReadingsLose) {
  const optics::Light light = read_light(kDemo + "demo-light.toml");
  ASSERT_TRUE(light.fitted.has_value());
  EXPECT_LT(light.fitted->residual, 0.01);
  const optics::TipSource source = optics::tip_source(light);
  const auto reading = [&](double mm) {
    return 100 * light.fitted->implied_power_mw *
           irradiance_per_mw(source, mm, light.fitted->series.aperture_diameter_mm / 2);
  };
  const auto& series = light.fitted->series;
  for (std::size_t i = 0; i < series.distance_mm.size(); ++i) {
    EXPECT_NEAR(reading(series.distance_mm[i]) / series.irradiance_mw_cm2[i], 1, 0.03) << series.distance_mm[i];
  }
  const double lost = 1 - reading(8) / reading(0);
  EXPECT_GT(lost, 0.35);
  EXPECT_LT(lost, 0.50);
  EXPECT_NEAR(light.fitted->implied_power_mw, light.radiant_power_mw.value, 10);
}

TEST(LightFile, TheDemoPicturesFollowTheirFormulas) {
  base::Problems problems;
  const auto beam =
      read_beam_image(kDemo + "demo-light/beam.png", kDemo + "demo-light/dark.png", {.mm_per_pixel = 0.1}, problems);
  ASSERT_TRUE(beam.has_value());
  const auto spot = [](double x, double y, double s) { return std::exp(-(x * x + y * y) / (2 * s * s)); };
  for (std::size_t row = 0; row < beam->height; row += 7) {
    for (std::size_t column = 0; column < beam->width; column += 3) {
      const double x = beam->x_mm(column);
      const double y = beam->y_mm(row);
      const double edge = 1 / (1 + std::exp((std::hypot(x, y) - 4) / 0.05));
      const double form = 0.62 + 0.30 * spot(x - 1.3, y - 0.9, 1.2) + 0.30 * spot(x + 1.4, y - 0.7, 1.2) +
                          0.22 * spot(x - 0.1, y + 1.5, 1.0);
      EXPECT_NEAR(beam->at(column, row), 50'000 * edge * form, 0.51);
    }
  }
}

TEST(LightFile, AHalfAngleAndAGaussian) {
  const optics::Light light = sound(kSound);
  EXPECT_NEAR(half_angle_deg(light.shape), 20, 1e-6);
  EXPECT_EQ(light.shape.tail_share, 0.2);
  EXPECT_FALSE(light.fitted.has_value());
  EXPECT_EQ(std::get<optics::GaussianBeam>(light.beam).diameter_mm, 9);
  EXPECT_EQ(light.radiant_power_mw.value, 800);
  EXPECT_NEAR(optics::exitance_mw_cm2(light, 800), 800 / (std::numbers::pi * 0.25), 1e-9);
}

TEST(LightFile, EveryCourse) {
  const auto modes = sound(kSound + R"([[mode]]
name = "r"
course = "ramp"
from_share = 0.2
rise_s = 5
buttons_s = [20]
[[mode]]
name = "p"
course = "pulsed"
on_s = 0.5
off_s = 0.5
share = 0.8
buttons_s = [20]
[[mode]]
name = "t"
course = "two-level"
first_share = 0.4
first_s = 4
buttons_s = [20]
)")
                         .modes;
  ASSERT_EQ(modes.size(), 4U);
  EXPECT_DOUBLE_EQ(full_seconds(modes[0].course, 20), 20);
  EXPECT_DOUBLE_EQ(full_seconds(modes[1].course, 20), 18);
  EXPECT_DOUBLE_EQ(full_seconds(modes[2].course, 20), 8);
  EXPECT_DOUBLE_EQ(full_seconds(modes[3].course, 20), 17.6);
}

TEST(LightFile, AllProblemsOfAllFilesAtOnce) {
  std::string text = with("tip_diameter_mm = 10", "tip_diameter_mm = -8");
  text = text.replace(text.find("demo-light/spectrum.csv"), 23, "demo-light/distance.csv");
  text = text.replace(text.find("[10, 20]"), 8, "[20, 10]");
  text = text.replace(text.find("form = \"gaussian\"\ndiameter_mm = 9"), 33,
                      "form = \"picture\"\nfile = \"none.png\"\nmm_per_pixel = 0.1\ncolour = 3");
  const auto said = wrong(text);
  EXPECT_THAT(said,
              testing::IsSupersetOf({HasSubstr("l.toml:5:19: light.tip_diameter_mm: -8"), HasSubstr("beam.colour"),
                                     HasSubstr("mode[1].buttons_s: the times do not rise"),
                                     HasSubstr("distance.csv:3: wavelength_nm: 0 nm is below the least allowed"),
                                     HasSubstr("none.png")}));
}

TEST(LightFile, PowerIsGivenOnceOrByTheSpectrum) {
  EXPECT_THAT(wrong(with("radiant_power_mw = 800", "radiant_power_mw = 800\nexitance_mw_cm2 = 900")),
              ElementsAre(HasSubstr("light.exitance_mw_cm2: both the radiant power and the exitance are given")));
  EXPECT_THAT(
      wrong(with("radiant_power_mw = 800", "")),
      ElementsAre(HasSubstr("neither radiant_power_mw nor exitance_mw_cm2 is given, and the spectrum is relative")));
  std::string absolute = with("radiant_power_mw = 800", "");
  absolute = absolute.replace(absolute.find("\"relative\""), 10, "\"W/nm\"");
  const optics::Light light = sound(absolute);
  EXPECT_DOUBLE_EQ(light.radiant_power_mw.value, optics::radiant_power_mw(light.spectrum));
}

TEST(LightFile, AnglesComeFromOneOfTwo) {
  EXPECT_THAT(wrong(with("half_angle_deg = 20",
                         "half_angle_deg = 20\ndistance_series = \"demo-light/distance.csv\"\n"
                         "aperture_mm = 4")),
              testing::Contains(HasSubstr("both a distance series and a half-angle are given")));
  EXPECT_THAT(wrong(with("half_angle_deg = 20", "")),
              ElementsAre(HasSubstr("neither distance_series nor half_angle_deg is given")));
  EXPECT_THAT(wrong(with("half_angle_deg = 20", "half_angle_deg = 20\naperture_mm = 4")),
              ElementsAre(HasSubstr("angle.aperture_mm")));
}

TEST(LightFile, APictureOfAnotherScaleIsRefused) {
  EXPECT_THAT(wrong(with("form = \"gaussian\"\ndiameter_mm = 9",
                         "form = \"picture\"\nfile = \"demo-light/beam.png\"\n"
                         "dark_frame = \"demo-light/dark.png\"\nmm_per_pixel = 1")),
              ElementsAre(HasSubstr("beam.mm_per_pixel: only")));
}

TEST(LightFile, AMissingFileIsOneProblem) { EXPECT_THROW(read_light(kDemo + "no-such-light.toml"), base::InputError); }

}  // namespace
}  // namespace throughcure::exchange
