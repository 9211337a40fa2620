#include "throughcure/cure/bands_in_material.hpp"

#include <algorithm>
#include <string>

#include "throughcure/base/problem.hpp"
#include "throughcure/optics/bands.hpp"

namespace throughcure::cure {

namespace {

constexpr double kCamphorquinonePeak_nm = 468;
constexpr std::uint64_t kDrawsThatSpan = 512;
constexpr std::size_t kAbsorptions = 7;
constexpr std::size_t kScatterings = 5;

double sum(const std::vector<double>& values) {
  double s = 0;
  for (const double v : values) s += v;
  return s;
}

}  // namespace

ResinInBand resin_in_band(const optics::Light& light, const Material& material, const optics::Band& window) {
  const optics::Emission emitter = optics::emission(light.spectrum);
  const optics::ResinValues values = nominal(material.optics);
  std::vector<double> epsilons;
  epsilons.reserve(material.optics.initiators.size());
  for (const optics::InitiatorContent& content : material.optics.initiators) {
    epsilons.push_back(mean_epsilon(content.initiator, emitter, window.from_nm, window.to_nm));
  }
  const std::vector<double> shares = initiator_shares_per_mm(material.optics, values, epsilons);
  ResinInBand resin;
  resin.mean_nm = mean_wavelength_nm(light.spectrum, window.from_nm, window.to_nm);
  resin.properties = resin_properties(values, resin.mean_nm, shares);
  resin.initiators_per_mm = sum(shares);
  return resin;
}

std::vector<BandInMaterial> bands_in_material(const optics::Light& light, const Material& material) {
  const optics::Emission emitter = optics::emission(light.spectrum);
  std::vector<optics::Initiator> initiators;
  initiators.reserve(material.optics.initiators.size());
  for (const optics::InitiatorContent& content : material.optics.initiators) initiators.push_back(content.initiator);

  std::vector<BandInMaterial> bands;
  std::vector<double> absorbed;
  const double all = power_between(emitter, emitter.wavelength_nm.front(), emitter.wavelength_nm.back());
  for (const optics::Band& window : optics::bands_that_cure(optics::violet_and_blue(), emitter, initiators)) {
    const ResinInBand resin = resin_in_band(light, material, window);
    BandInMaterial band;
    band.window = window;
    band.mean_nm = resin.mean_nm;
    band.power_share = power_between(emitter, window.from_nm, window.to_nm) / all;
    band.mua_per_mm = resin.properties.mua_per_mm;
    band.reduced_scattering_per_mm = reduced_scattering_per_mm(resin.properties);
    bands.push_back(band);
    absorbed.push_back(resin.initiators_per_mm);
  }
  if (bands.empty()) return bands;

  // The unit: what camphorquinone absorbs at its peak.
  double unit = 0;
  const std::vector<double> at_peak =
      initiator_shares_per_mm(material.optics, nominal(material.optics), kCamphorquinonePeak_nm);
  for (std::size_t i = 0; i < initiators.size(); ++i) {
    if (initiators[i].id == "camphorquinone") unit = at_peak[i];
  }
  if (unit == 0) unit = *std::max_element(absorbed.begin(), absorbed.end());
  for (std::size_t b = 0; b < bands.size(); ++b) bands[b].initiator_weight = absorbed[b] / unit;
  return bands;
}

std::vector<BandInMaterial> bands_that_cure(const optics::Light& light, const Material& material) {
  std::vector<BandInMaterial> bands = bands_in_material(light, material);
  if (bands.empty()) {
    throw base::InputError(
        {{"", 0, 0, "light", light.name + " has no power where an initiator of " + material.name + " absorbs",
          "Choose a light whose spectrum meets the material's initiators"}});
  }
  return bands;
}

double mua_of(const BandInMaterial& band, const Draw& draw) {
  return band.mua_per_mm * optics::at_wavelength(draw.absorption_factor, band.mean_nm);
}

double reduced_scattering_of(const BandInMaterial& band, const Draw& draw) {
  return band.reduced_scattering_per_mm * optics::at_wavelength(draw.scattering_factor, band.mean_nm);
}

ResinSpans spans_of_draws(const DrawSource& source, const std::vector<BandInMaterial>& bands, std::uint64_t seed) {
  ResinSpans spans;
  for (std::uint64_t id = 0; id < kDrawsThatSpan; ++id) {
    const Draw draw = prior_draw(source, seed, id);
    spans.wall_reflectance.take(draw.mould_reflectance);
    for (const BandInMaterial& band : bands) {
      spans.mua_per_mm.take(mua_of(band, draw));
      spans.reduced_scattering_per_mm.take(reduced_scattering_of(band, draw));
    }
  }
  return spans;
}

ResinGrid grid_of_draws(const DrawSource& source, const std::vector<BandInMaterial>& bands, std::uint64_t seed) {
  const ResinSpans spans = spans_of_draws(source, bands, seed);
  return {.mua_per_mm = spans.mua_per_mm.nodes(kAbsorptions),
          .reduced_scattering_per_mm = spans.reduced_scattering_per_mm.nodes(kScatterings),
          .n = source.material.optics.n.value,
          .g = source.material.optics.g.value};
}

}  // namespace throughcure::cure
