#include "cure_bench.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/cure/mould_of_material.hpp"
#include "throughcure/exchange/material_file.hpp"
#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::verify {

namespace {

using exchange::LampClass;
using exchange::LitSpecimen;
using exchange::ShadeDepth;

constexpr double k90 = 1.6448536269514722;  // sd from the middle to the end of the middle 90 %
constexpr double kNarrow_mm = 4;
constexpr double kWide_mm = 12;
constexpr std::uint32_t kSecondsPurpose = 0x7365'6373;
constexpr std::size_t kPrinted = 4096;  ///< readings that are simulated for one interval: 0.01 of its width

/// FNV-1a: the same on every machine.
std::uint32_t hash(std::string_view text) {
  std::uint32_t h = 2166136261U;
  for (const char c : text) h = (h ^ static_cast<unsigned char>(c)) * 16777619U;
  return h;
}

double normal(base::Stream& stream) {
  const double r = std::sqrt(-2 * std::log(stream.uniform()));
  return r * std::cos(2 * std::numbers::pi * stream.uniform());
}

std::string_view word(ShadeDepth shade) {
  switch (shade) {
    case ShadeDepth::kLight:
      return "light";
    case ShadeDepth::kMedium:
      return "medium";
    case ShadeDepth::kDark:
      return "dark";
    case ShadeDepth::kOpaque:
      break;
  }
  return "opaque";
}

/// Spectra of the classes of lamps (kind: common practice, no source): peaks, widths and windows as data sheets have
/// them. Radiance halved at 20 degrees, even over the tip.
optics::Light lamp_of(LampClass lamp_class, double tip_mm) {
  optics::Light light = cure::usual_test_light();
  light.tip_diameter_mm = tip_mm;
  switch (lamp_class) {
    case LampClass::kBlueLed:
      break;
    case LampClass::kVioletBlueLed:
      light.spectrum.wavelength_nm = {385, 400, 405, 412, 425, 430, 448, 460, 472, 490};
      light.spectrum.power_per_nm = {0, 0.4, 0.5, 0.4, 0, 0, 0.5, 1, 0.5, 0};
      break;
    case LampClass::kHalogen:
      light.spectrum.wavelength_nm = {390, 410, 440, 470, 495, 510};
      light.spectrum.power_per_nm = {0, 0.4, 0.8, 1, 0.9, 0};
      break;
  }
  return light;
}

cure::DrawSource prior_material(cure::MaterialClass material_class, ShadeDepth shade) {
  // Camphorquinone in resins, 0.2 to 1.0 wt%: Howard et al. 2010, Acta Biomater; Chen, Ferracane, Prahl 2007, Dent
  // Mater 23(6):655-664 (0.7); kind: published. The middle is common practice.
  const std::string toml = "[material]\nname = \"" + std::string(cure::word(material_class)) + ", " +
                           std::string(word(shade)) + "\"\nclass = \"" + std::string(cure::word(material_class)) +
                           "\"\nshade = \"" + std::string(word(shade)) + "\"\ndepth_of_shade = \"" +
                           std::string(word(shade)) +
                           "\"\nkind = \"common practice\"\nsource = \"\"\n[[initiator]]\nname = \"camphorquinone\"\n"
                           "mass_percent_of_resin = { value = 0.5, low = 0.2, high = 1.0 }\n";
  base::Problems problems;
  std::optional<cure::Material> material = exchange::parse_material(toml, "a class", {}, problems);
  if (!material) throw base::InputError(problems);
  return {exchange::reference_cure(), *std::move(material), exchange::reference_steel().reflectance};
}

}  // namespace

double irradiance_mw_cm2(const LitSpecimen& specimen, const cure::Draw& draw) {
  const base::Sourced& e = specimen.irradiance_mw_cm2;
  if (!e.low || !e.high) return e.value;
  base::Stream stream(kCureSeed, hash(specimen.lamp), draw.id);
  return e.value * std::exp(normal(stream) * std::log(*e.high / *e.low) / (2 * k90));
}

double seconds(const LitSpecimen& specimen, const cure::Draw& draw) {
  base::Stream stream(kCureSeed, kSecondsPurpose, draw.id);
  return specimen.presses * cure::drawn(specimen.seconds, stream.uniform());
}

const cure::DrawSource& CureBench::material(cure::MaterialClass material_class, ShadeDepth shade) {
  const MaterialKey key{material_class, shade};
  const auto found = materials_.find(key);
  if (found != materials_.end()) return found->second;
  return materials_.emplace(key, prior_material(material_class, shade)).first->second;
}

const cure::MouldOf& CureBench::mould(const LitSpecimen& specimen, double bore_mm, const base::Running& running) {
  const MouldKey key{specimen.material_class, specimen.shade, specimen.lamp_class, bore_mm};
  const auto found = moulds_.find(key);
  if (found != moulds_.end()) return found->second;
  // In contact, what a tip gives beyond the bore falls on steel and is lost.
  const optics::Light light = lamp_of(specimen.lamp_class, std::min(bore_mm, specimen.tip_mm));
  cure::DrawSource source = material(specimen.material_class, specimen.shade);
  source.priors.scrape.mould_diameter_mm.value = bore_mm;
  return moulds_
      .emplace(key, cure::mould_of_material(source, light, 0, {.photons = photons_, .seed = kCureSeed}, running))
      .first->second;
}

cure::MouldOf CureBench::light_on(const LitSpecimen& specimen, const base::Running& running) {
  const cure::MouldOf narrow = mould(specimen, specimen.bore_mm.value_or(kNarrow_mm), running);
  const cure::MouldOf wide = specimen.bore_mm ? narrow : mould(specimen, kWide_mm, running);
  return [narrow, wide, specimen](const cure::Draw& draw) {
    cure::MouldProfile profile = draw.id % 2 == 0 ? narrow(draw) : wide(draw);
    const double irradiance = irradiance_mw_cm2(specimen, draw);
    for (double& phi : profile.phi_per_exitance) phi *= irradiance;
    return profile;
  };
}

cure::HardnessAtScrapeFact CureBench::hardness(const LitSpecimen& specimen, const base::Running& running) {
  return cure::hardness_fact(material(specimen.material_class, specimen.shade).priors,
                             {.exitance_mw_cm2 = 1,
                              .seconds = specimen.presses * specimen.seconds.value,
                              .course = specimen.course,
                              .temperature_c = specimen.temperature_c},
                             light_on(specimen, running));
}

PriorDraws& CureBench::alone(const LitSpecimen& specimen, const base::Running& running) {
  const std::pair key{MaterialKey{specimen.material_class, specimen.shade}, specimen.leave_out_slope};
  const auto found = alone_.find(key);
  if (found != alone_.end()) return found->second;
  const LitSpecimen usual{.material_class = specimen.material_class,
                          .shade = specimen.shade,
                          .irradiance_mw_cm2 = {.value = 1000},
                          .seconds = {.value = 20},
                          .bore_mm = kNarrow_mm};
  const cure::DrawSource& source = material(specimen.material_class, specimen.shade);
  cure::Facts facts;
  facts.hardness = hardness(usual, running);
  if (!specimen.leave_out_slope) facts.slope = cure::slope_prior(source.priors, specimen.material_class);
  cure::Ensemble ensemble =
      cure::condition(source, facts, kCureSeed, {}, {.threads = running.threads, .stop = running.stop});
  return alone_.emplace(key, PriorDraws{.draws = std::move(ensemble.draws), .curves = {}}).first->second;
}

const std::vector<cure::ConversionCurve>& CureBench::curves(PriorDraws& prior, double temperature_c,
                                                            const base::Running& running) {
  const auto found = prior.curves.find(temperature_c);
  if (found != prior.curves.end()) return found->second;
  std::vector<std::unique_ptr<const cure::ConversionCurve>> made(prior.draws.size());
  base::for_each_batch(made.size(), {.threads = running.threads, .stop = running.stop}, "", [&](std::size_t i) {
    made[i] = std::make_unique<const cure::ConversionCurve>(prior.draws[i].law, temperature_c);
  });
  std::vector<cure::ConversionCurve> curves;
  curves.reserve(made.size());
  for (const auto& one : made) curves.push_back(*one);
  return prior.curves.emplace(temperature_c, std::move(curves)).first->second;
}

Answer printed(const std::vector<double>& truth, const Scatter& scatter, const Among& among, std::string_view name) {
  if (truth.empty()) return {};
  std::vector<double> readings;
  readings.reserve(kPrinted);
  for (std::size_t k = 0; k < kPrinted; ++k) {
    base::Stream stream(kCureSeed, hash(name), k);
    double chosen = 0;
    for (int m = 0; m < among.materials; ++m) {
      // The first material goes through the draws in turn, so that none is left out.
      const std::size_t i =
          m == 0 ? k % truth.size() : static_cast<std::size_t>(stream.uniform() * static_cast<double>(truth.size()));
      const double one = truth[i] + scatter.within * normal(stream);
      const bool first = m == 0;
      if (first || (among.one_of == exchange::OneOf::kLeast ? one < chosen : one > chosen)) chosen = one;
    }
    const double laboratory = normal(stream);
    readings.push_back(chosen * std::pow(scatter.between_ratio, laboratory) + scatter.between * laboratory);
  }
  return {.value = cure::quantile(readings, 0.5),
          .low = cure::quantile(readings, 0.1),
          .high = cure::quantile(readings, 0.9)};
}

}  // namespace throughcure::verify
