#include "throughcure/cure/mould_of_material.hpp"

#include <memory>

#include "throughcure/cure/falling_profile.hpp"
#include "throughcure/cure/mould_table.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::cure {

namespace {

constexpr std::size_t kScatterings = 5;
constexpr std::size_t kAbsorptions = 9;
constexpr std::size_t kWalls = 3;

/// The kept table where it answers, otherwise a simulation.
std::shared_ptr<const MouldLight> light_in_mould(const DrawSource& source, const optics::Light& light,
                                                 const MouldForm& form, const ResinSpans& spans,
                                                 const MouldEffort& effort, const base::Running& running) {
  const double n = source.material.optics.n.value;
  const double g = source.material.optics.g.value;
  const std::shared_ptr<const MouldTable>& kept = source.mould_table;
  if (kept && answers(*kept, {.form = form, .light = light, .n = n, .g = g, .spans = spans})) {
    return {kept, &kept->light};
  }
  const MouldGrid grid{.mua_per_mm = spans.mua_per_mm.nodes(kAbsorptions),
                       .reduced_scattering_per_mm = spans.reduced_scattering_per_mm.nodes(kScatterings),
                       .wall_reflectance = spans.wall_reflectance.nodes(kWalls),
                       .n = n,
                       .g = g};
  return std::make_shared<const MouldLight>(
      simulate_mould(form, grid, optics::tip_source(light), effort.photons, effort.seed, running));
}

}  // namespace

MouldOf mould_of_material(const DrawSource& source, const optics::Light& light, double standoff_mm,
                          const MouldEffort& effort, const base::Running& running) {
  const std::vector<BandInMaterial> bands = bands_that_cure(light, source.material);
  MouldForm form;
  form.standoff_mm = standoff_mm;
  form.bore_diameter_mm = source.priors.scrape.mould_diameter_mm.value;
  const ResinSpans spans = spans_of_draws(source, bands, effort.seed);
  const std::shared_ptr<const MouldLight> table = light_in_mould(source, light, form, spans, effort, running);
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

}  // namespace throughcure::cure
