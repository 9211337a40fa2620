#include "throughcure/exchange/light_file.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include "throughcure/base/number_text.hpp"
#include "throughcure/exchange/beam_image_file.hpp"
#include "throughcure/exchange/distance_csv.hpp"
#include "throughcure/exchange/mode_reader.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/spectrum_csv.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/optics/shape_fit.hpp"

namespace throughcure::exchange {

namespace {

constexpr Limits kTip{.at_least = 1, .at_most = 25, .unit = "mm"};
constexpr Limits kPower{.above = 0, .at_most = 20'000, .unit = "mW"};
constexpr Limits kExitance{.above = 0, .at_most = 20'000, .unit = "mW/cm2"};
constexpr Limits kAperture{.above = 0, .at_most = 50, .unit = "mm"};
constexpr Limits kShareOfTail{.at_least = 0, .below = 1};

/// Less of a picture's light inside the tip than this, and its scale or its middle must be wrong.
constexpr double kLeastInsideTip = 0.5;
/// Readings farther than this from what any tip could give are no distance series of this tip.
constexpr double kLargestResidual = 0.25;

/// The radiant power that the file states, by itself or as exitance times the tip's area.
std::optional<base::Sourced> read_power(const TomlTable& head, double tip_diameter_mm,
                                        const base::Provenance& provenance) {
  auto power = optional_ranged_number(head, "radiant_power_mw", kPower, provenance);
  auto exitance = optional_ranged_number(head, "exitance_mw_cm2", kExitance, provenance);
  if (power && exitance) {
    head.refuse("exitance_mw_cm2", "both the radiant power and the exitance are given",
                "Give the one that was measured; the other follows from the tip's area");
  }
  if (!exitance) return power;
  const double cm2 = std::numbers::pi / 400 * tip_diameter_mm * tip_diameter_mm;
  exitance->value *= cm2;
  for (auto* bound : {&exitance->low, &exitance->high, &exitance->sd}) {
    if (*bound) **bound *= cm2;
  }
  exitance->unit = "mW";
  return exitance;
}

optics::Spectrum read_spectrum_part(const TomlTable& part, base::Problems& problems) {
  using enum optics::SpectrumScale;
  const auto scale = part.choice<optics::SpectrumScale>("scale", {{"relative", kRelative}, {"W/nm", kAbsoluteWPerNm}});
  const auto file = part.file("file");
  if (file.empty()) return {};
  return read_spectrum(file, scale, problems).value_or(optics::Spectrum{});
}

optics::Beam read_picture(const TomlTable& part, double tip_diameter_mm, base::Problems& problems) {
  PictureScale scale{.mm_per_pixel = part.number("mm_per_pixel", {.at_least = 0.0005, .at_most = 2, .unit = "mm"})};
  const Limits pixels{.at_least = 0, .at_most = static_cast<double>(kMostPixelsAcross), .unit = "px"};
  const auto centre = part.optional_numbers("tip_centre_px", pixels, {.at_least = 2, .at_most = 2});
  if (centre && centre->size() == 2) scale.tip_centre_px = {(*centre)[0], (*centre)[1]};
  const auto dark = part.optional_file("dark_frame");
  const auto file = part.file("file");
  if (file.empty()) return {};
  auto image = read_beam_image(file, dark, scale, problems);
  if (!image) return {};
  const double inside = optics::share_inside_tip(*image, tip_diameter_mm);
  if (inside < kLeastInsideTip) {
    part.refuse("mm_per_pixel",
                "only " + base::number_text(std::round(1000 * inside) / 10) +
                    " % of the picture's light lies inside the " + base::number_text(tip_diameter_mm) +
                    " mm tip, at least " + base::number_text(100 * kLeastInsideTip) + " % must",
                "Check mm_per_pixel, tip_centre_px and the dark frame");
    return {};
  }
  return *std::move(image);
}

optics::Beam read_beam(const TomlTable& part, double tip_diameter_mm, base::Problems& problems) {
  const std::string form = part.choice("form", {"uniform", "gaussian", "picture"});
  if (form == "picture") return read_picture(part, tip_diameter_mm, problems);
  if (form == "gaussian") {
    return optics::GaussianBeam{part.number("diameter_mm", {.at_least = 0.5, .at_most = 100, .unit = "mm"})};
  }
  return optics::UniformDisc{};
}

/// What the file says of the angles: a shape, or readings that the shape is still to be fitted to.
struct Angles {
  optics::AngularShape shape{};
  std::optional<optics::DistanceSeries> series{};
};

Angles read_angles(const TomlTable& part, base::Problems& problems) {
  const bool fitted = part.has("distance_series");
  if (fitted == part.has("half_angle_deg")) {
    part.refuse("",
                fitted ? "both a distance series and a half-angle are given"
                       : "neither distance_series nor half_angle_deg is given",
                "Give the distance series where it was measured, else the angle at which the radiance is half");
  }
  if (fitted) {
    const auto file = part.file("distance_series");
    const double aperture = part.number("aperture_mm", kAperture);
    if (file.empty()) return {};
    return {.series = read_distance_series(file, aperture, problems)};
  }
  const auto half = part.optional_number("half_angle_deg", {.at_least = 2, .at_most = 80, .unit = "deg"});
  const double tail = part.number("tail_share", kShareOfTail);
  return {.shape = half ? optics::shape_of_half_angle(*half, tail) : optics::AngularShape{}};
}

void fit(optics::Light& light, optics::DistanceSeries series, const std::string& name, base::Problems& problems) {
  const optics::ShapeFit found = optics::fit_shape(optics::tip_map(light.beam, light.tip_diameter_mm), series);
  if (found.residual > kLargestResidual) {
    problems.push_back({.file = name,
                        .field = "angle.distance_series",
                        .what = "no tip gives these readings: the nearest is off by " +
                                base::number_text(std::round(100 * found.residual)) +
                                " % in the mean, the most allowed is " + base::number_text(100 * kLargestResidual) +
                                " %",
                        .remedy = "Check the order of the readings, the aperture and the tip's diameter"});
  }
  light.shape = found.shape;
  light.fitted = {std::move(series), found.radiant_power_mw, found.residual};
}

std::optional<optics::Light> read(TomlDocument file, const std::string& name, base::Problems& problems) {
  const std::size_t before = problems.size();
  base::Problems from_named;  // of the files that this one names: said after its own
  const TomlTable root = file.root();
  const TomlTable head = root.table("light");
  optics::Light light;
  light.name = head.text("name");
  light.provenance = read_provenance(head);
  light.tip_diameter_mm = head.number("tip_diameter_mm", kTip);
  light.head_size_mm = head.number("head_size_mm", {.at_least = 3, .at_most = 60, .unit = "mm"});
  light.tip_angle_deg = head.number("tip_angle_deg", {.at_least = 0, .at_most = 135, .unit = "deg"});
  const auto power = read_power(head, light.tip_diameter_mm, light.provenance);

  const TomlTable spectrum = root.table("spectrum");
  light.spectrum = read_spectrum_part(spectrum, from_named);
  const bool absolute = light.spectrum.scale == optics::SpectrumScale::kAbsoluteWPerNm;
  if (power) {
    light.radiant_power_mw = *power;
  } else if (absolute && !light.spectrum.power_per_nm.empty()) {
    light.radiant_power_mw = {.value = optics::radiant_power_mw(light.spectrum),
                              .unit = "mW",
                              .kind = light.provenance.kind,
                              .source = light.provenance.source};
  } else if (!head.has("radiant_power_mw") && !head.has("exitance_mw_cm2") && from_named.empty()) {
    head.refuse("", "neither radiant_power_mw nor exitance_mw_cm2 is given, and the spectrum is relative",
                "Give one of them; exitance is radiant power by the area of the optical tip");
  }

  light.beam = read_beam(root.table("beam"), light.tip_diameter_mm, from_named);
  Angles angles = read_angles(root.table("angle"), from_named);
  light.shape = angles.shape;
  light.modes = read_modes(root);

  base::Problems found = file.finish();
  problems.insert(problems.end(), std::make_move_iterator(found.begin()), std::make_move_iterator(found.end()));
  problems.insert(problems.end(), std::make_move_iterator(from_named.begin()),
                  std::make_move_iterator(from_named.end()));
  if (problems.size() > before) return std::nullopt;
  if (angles.series) fit(light, *std::move(angles.series), name, problems);
  if (problems.size() > before) return std::nullopt;
  return light;
}

}  // namespace

optics::Light read_light(const std::filesystem::path& path) {
  base::Problems problems;
  auto light = read_light(path, problems);
  if (!light) throw base::InputError(std::move(problems));
  return *std::move(light);
}

std::optional<optics::Light> read_light(const std::filesystem::path& path, base::Problems& problems) {
  return read(TomlDocument::open(path), path.string(), problems);
}

std::optional<optics::Light> parse_light(std::string_view text, const std::string& name, std::filesystem::path folder,
                                         base::Problems& problems) {
  return read(TomlDocument::parse(text, name, std::move(folder)), name, problems);
}

}  // namespace throughcure::exchange
