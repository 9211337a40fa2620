#include "throughcure/cure/mould_of_material.hpp"

#include <memory>

#include "throughcure/cure/falling_profile.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::cure {

namespace {

constexpr std::size_t kScatterings = 5;
constexpr std::size_t kAbsorptions = 9;
constexpr std::size_t kWalls = 3;

MouldGrid grid_for(const DrawSource& source, const std::vector<BandInMaterial>& bands, std::uint64_t seed) {
  const ResinSpans spans = spans_of_draws(source, bands, seed);
  return {.mua_per_mm = spans.mua_per_mm.nodes(kAbsorptions),
          .reduced_scattering_per_mm = spans.reduced_scattering_per_mm.nodes(kScatterings),
          .wall_reflectance = spans.wall_reflectance.nodes(kWalls),
          .n = source.material.optics.n.value,
          .g = source.material.optics.g.value};
}

}  // namespace

MouldOf mould_of_material(const DrawSource& source, const optics::Light& light, double standoff_mm,
                          const MouldEffort& effort, const base::Running& running) {
  const std::vector<BandInMaterial> bands = bands_that_cure(light, source.material);
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
          fluence_per_exitance(*table, mua_of(band, draw), reduced_scattering_of(band, draw), draw.mould_reflectance);
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
