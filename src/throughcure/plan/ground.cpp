#include "throughcure/plan/ground.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "throughcure/anatomy/tooth.hpp"
#include "throughcure/cure/hardness.hpp"
#include "throughcure/cure/reference_piece.hpp"
#include "throughcure/cure/scrape.hpp"

namespace throughcure::plan {

namespace {

constexpr std::size_t kBatch = 16;
constexpr std::uint64_t kReferencePhotons = 3000;  ///< of each scattering: 1.8 % at the worst

KnownMaterial know(const Ground& ground, const cure::Material& material, std::uint64_t seed, const Knowledge& knowledge,
                   const GroundEffort& effort, const base::Running& running) {
  const cure::DrawSource source{knowledge.priors, material, ground.c.mould_reflectance, knowledge.mould_table};
  KnownMaterial known{
      cure::calibrate(source, knowledge.light_of, effort.mould, seed, {.draws = effort.draws}, running), {}, 0};
  const cure::Criterion& criterion = knowledge.priors.criterion;
  const cure::ReferenceOf reference_of = cure::reference_piece_of_material(
      source, ground.c.light, {.photons = kReferencePhotons, .seed = effort.mould.seed}, running);
  const std::vector<cure::Draw>& draws = known.calibration.ensemble.draws;
  known.cures.assign(draws.size(), CureDraw{cure::ConversionCurve(draws.front().law, ground.c.tooth_c), 0});
  std::vector<double> per_irradiance(draws.size());
  base::for_each_batch((draws.size() + kBatch - 1) / kBatch, running, "reference pieces", [&](std::size_t batch) {
    for (std::size_t d = batch * kBatch; d < std::min(draws.size(), (batch + 1) * kBatch); ++d) {
      CureDraw& cure = known.cures[d];
      cure.curve = cure::ConversionCurve(draws[d].law, ground.c.tooth_c);
      per_irradiance[d] = reference_of(draws[d]);
      cure.reference = cure::reference_conversion(draws[d].law, cure.curve, ground.c.tooth_c,
                                                  cure::reference_light(criterion, per_irradiance[d]),
                                                  criterion.after_h.value * 3600);
    }
  });
  known.nominal_reference = cure::quantile(std::move(per_irradiance), 0.5);
  return known;
}

/// The draws in an order in which neighbours have little to do with one another: in steps near the golden section.
std::vector<std::size_t> order_of_walks(std::size_t draws) {
  auto step = static_cast<std::size_t>(std::lround(0.618 * static_cast<double>(draws)));
  step = std::max<std::size_t>(1, step);
  while (std::gcd(step, draws) != 1) ++step;
  std::vector<std::size_t> order;
  order.reserve(draws);
  for (std::size_t w = 0; w < draws; ++w) order.push_back(w * step % draws);
  return order;
}

/// The scene with air in place of all enamel above a level.
anatomy::Scene without_above(anatomy::Scene scene, double z_mm) {
  const auto first = std::ranges::find_if(scene.solids, [&](const anatomy::Solid& solid) {
    const std::string& name = scene.medium_names[solid.medium];
    return name == "enamel" || name == "dentine" || name == "pulp";
  });
  const auto face = static_cast<std::uint32_t>(scene.faces.size());
  scene.faces.push_back(anatomy::half_space(base::Point{0, 0, z_mm}, base::Direction{0, 0, 1}));
  scene.solids.insert(first, anatomy::Solid{face, 1, scene.background});
  return scene;
}

}  // namespace

Ground prepare(Case c, const Knowledge& knowledge, const GroundEffort& effort, const base::Running& running) {
  Ground ground{.c = std::move(c), .seed = effort.seed, .priors = knowledge.priors};
  ground.tip = optics::tip_source(ground.c.light);
  ground.states = anatomy::scene_states(ground.c.site);
  for (const anatomy::SceneState& state : ground.states) {
    ground.scenes.push_back(anatomy::build_scene(ground.c.site, state));
  }
  ground.targets = anatomy::targets(ground.c.site);
  ground.bands = bands_of(ground.c);
  for (const CaseBand& band : ground.bands) ground.media.push_back(media_of(ground.c, ground.scenes.front(), band));

  ground.effective_draws = static_cast<double>(effort.draws);
  for (std::size_t m = 0; m < ground.c.materials.size(); ++m) {
    // A seed of its own for each material, so that their draws are independent.
    ground.materials.push_back(know(ground, ground.c.materials[m], effort.seed + 7919 * m, knowledge, effort, running));
    const cure::Calibration& calibration = ground.materials.back().calibration;
    ground.effective_draws = std::min(ground.effective_draws, calibration.ensemble.effective_sample_size);
    ground.set_aside.insert(ground.set_aside.end(), calibration.set_aside.begin(), calibration.set_aside.end());
  }
  for (std::size_t d = 0; d < effort.draws; ++d) {
    CaseDraw draw = draw_of_case(ground.c, knowledge.priors.hardness.slope, effort.seed, d);
    for (const KnownMaterial& material : ground.materials) {
      draw.materials.push_back(material.calibration.ensemble.draws[d]);
    }
    ground.draws.push_back(std::move(draw));
  }
  ground.draw_of_walk = order_of_walks(ground.draws.size());
  for (std::size_t b = 0; b < ground.bands.size(); ++b) {
    const transport::Media& nominal = ground.media[b];
    std::vector<transport::Media> by_draw;
    by_draw.reserve(ground.draws.size());
    for (const CaseDraw& draw : ground.draws) {
      by_draw.push_back(media_of_draw(ground.c, ground.scenes.front(), ground.bands[b], nominal, draw));
    }
    ground.axes.push_back(axes_of(by_draw, nominal, increments_among(ground.c, nominal.size())));
    ground.middle.push_back(middle_media(ground.axes.back(), nominal));
    std::vector<transport::Media>& walks = ground.walks.emplace_back();
    for (const std::size_t draw : ground.draw_of_walk) walks.push_back(by_draw[draw]);
  }
  return ground;
}

Ground with_light(Ground ground, const base::Sourced& output_share, const base::Sourced& barrier_pass) {
  ground.c.output_share = output_share;
  ground.c.barrier_pass = barrier_pass;
  for (std::size_t d = 0; d < ground.draws.size(); ++d) {
    ground.draws[d].power_mw = draw_of_case(ground.c, ground.priors.hardness.slope, ground.seed, d).power_mw;
  }
  return ground;
}

Unshadowed without_shadows(const Ground& ground) {
  Unshadowed result{ground, {}};
  Ground& bare = result.ground;
  bare.c.site.restoration.matrix.reset();
  bare.c.site.restoration.wedge = false;
  bare.c.site.mesial_neighbour = false;
  bare.c.site.distal_neighbour = false;
  bare.states = anatomy::scene_states(bare.c.site);
  bare.scenes.clear();
  const double brim = anatomy::cavity_brim_z(bare.c.site.cavity,
                                             anatomy::tooth_form(bare.c.site.tooth.tooth_class(), bare.c.site.crown));
  for (const anatomy::SceneState& state : bare.states) {
    bare.scenes.push_back(without_above(anatomy::build_scene(bare.c.site, state), brim));
  }
  for (const anatomy::SceneState& state : ground.states) {
    result.state_of.push_back(std::min(state.increments, bare.states.size() - 1));
  }
  return result;
}

}  // namespace throughcure::plan
