#include "throughcure/cure/mould_of_material.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include "throughcure/base/problem.hpp"
#include "throughcure/cure/falling_profile.hpp"
#include "throughcure/optics/bands.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::cure {

namespace {

constexpr double kCamphorquinonePeak_nm = 468;
constexpr std::uint64_t kDrawsThatSpanTheGrid = 512;
constexpr std::size_t kScatterings = 5;
constexpr std::size_t kAbsorptions = 9;

double sum(const std::vector<double>& values) {
  double s = 0;
  for (const double v : values) s += v;
  return s;
}

/// `count` values from `low` to `high`, each the same factor above the one before.
std::vector<double> geometric(double low, double high, std::size_t count) {
  std::vector<double> values;
  values.reserve(count);
  const double last = static_cast<double>(count) - 1;
  for (std::size_t i = 0; i < count; ++i) values.push_back(low * std::pow(high / low, static_cast<double>(i) / last));
  return values;
}

struct Span {
  double low = 0;
  double high = 0;
  void take(double v) {
    low = low == 0 ? v : std::min(low, v);
    high = std::max(high, v);
  }
  /// As nodes; a span of one value is opened a little.
  [[nodiscard]] std::vector<double> nodes(std::size_t count) const {
    return high > 1.001 * low ? geometric(low, high, count) : std::vector<double>{0.99 * low, 1.01 * high};
  }
};

/// A draw's resin in one band.
double mua_of(const BandInMaterial& band, const Draw& draw) {
  return band.mua_per_mm * optics::at_wavelength(draw.absorption_factor, band.mean_nm);
}
double scattering_of(const BandInMaterial& band, const Draw& draw) {
  return band.reduced_scattering_per_mm * optics::at_wavelength(draw.scattering_factor, band.mean_nm);
}

MouldGrid grid_for(const DrawSource& source, const std::vector<BandInMaterial>& bands, std::uint64_t seed) {
  Span mua;
  Span scattering;
  Span wall;
  for (std::uint64_t id = 0; id < kDrawsThatSpanTheGrid; ++id) {
    const Draw draw = prior_draw(source, seed, id);
    wall.take(draw.mould_reflectance);
    for (const BandInMaterial& band : bands) {
      mua.take(mua_of(band, draw));
      scattering.take(scattering_of(band, draw));
    }
  }
  return {.mua_per_mm = mua.nodes(kAbsorptions),
          .reduced_scattering_per_mm = scattering.nodes(kScatterings),
          .wall_reflectance = wall.nodes(3),
          .n = source.material.optics.n.value,
          .g = source.material.optics.g.value};
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

MouldOf mould_of_material(const DrawSource& source, const optics::Light& light, double standoff_mm,
                          const MouldEffort& effort, const base::Running& running) {
  const std::vector<BandInMaterial> bands = bands_in_material(light, source.material);
  if (bands.empty()) {
    throw base::InputError(
        {{"", 0, 0, "light", light.name + " has no power where an initiator of " + source.material.name + " absorbs",
          "Choose a light whose spectrum meets the material's initiators"}});
  }
  MouldForm form;
  form.standoff_mm = standoff_mm;
  form.bore_diameter_mm = source.priors.scrape.mould_diameter_mm.value;
  const auto table = std::make_shared<const MouldLight>(simulate_mould(
      form, grid_for(source, bands, effort.seed), optics::tip_source(light), effort.photons, effort.seed, running));
  return [table, bands](const Draw& draw) {
    MouldProfile profile;
    profile.phi_per_exitance.assign(table->depths, 0);
    for (std::size_t i = 0; i < table->depths; ++i) profile.depth_mm.push_back(table->depth_mm(i));
    for (const BandInMaterial& band : bands) {
      const std::vector<double> fluence =
          fluence_per_exitance(*table, mua_of(band, draw), scattering_of(band, draw), draw.mould_reflectance);
      for (std::size_t i = 0; i < table->depths; ++i) {
        profile.phi_per_exitance[i] += band.power_share * band.initiator_weight * fluence[i];
      }
    }
    return falling(profile);
  };
}

optics::Light usual_test_light() {
  optics::Light light;
  light.name = "a usual blue light";
  light.tip_diameter_mm = 8;
  light.spectrum.wavelength_nm = {430, 448, 460, 472, 490};
  light.spectrum.power_per_nm = {0, 0.5, 1, 0.5, 0};
  light.shape = optics::shape_of_half_angle(20, 0);
  light.modes = {{.name = "continuous", .course = optics::Continuous{}, .buttons_s = {20}}};
  return light;
}

}  // namespace throughcure::cure
