#include "solve_files.hpp"

#include <cmath>
#include <system_error>
#include <utility>
#include <vector>

#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/draw/paint_png.hpp"
#include "throughcure/draw/section_picture.hpp"
#include "throughcure/exchange/resolved_case.hpp"
#include "throughcure/exchange/vti.hpp"
#include "throughcure/plan/aim.hpp"
#include "throughcure/plan/field.hpp"
#include "throughcure/transport/forward.hpp"

namespace throughcure::apps {

namespace {

constexpr std::uint64_t kFieldPaths = 4000;
constexpr double kGridEdge_mm = 0.2;
constexpr std::uint64_t kGridPhotons = 400'000;  ///< over all exposures, bands and batches

draw::Picture section(const Solved& solved, anatomy::CuttingPlane cut, const base::Running& running) {
  const plan::Ground& ground = solved.ground;
  plan::Rays rays;
  plan::walk_field(rays, ground, cut, solved.schedule, kFieldPaths, running);
  draw::SectionShown shown;
  shown.field = plan::field(ground, rays, solved.schedule, running);
  shown.cells = solved.solution.verdict.cells;
  shown.worst = solved.solution.verdict.worst;
  shown.tips = {plan::tip_places(ground, solved.schedule).back()};
  shown.criterion = ground.priors.criterion.hardness_ratio.value;
  shown.through_from = ground.priors.policy.through_cured_from.value;
  shown.under_to = ground.priors.policy.under_cured_to.value;
  return draw::section_picture(draw::section_base(ground.c.site, ground.states[solved.schedule.back().state], cut),
                               shown);
}

/// A box about the tooth, cusps to the end of its stump.
transport::Grid grid_about(const plan::Ground& ground) {
  const anatomy::ToothForm form = anatomy::tooth_form(ground.c.site.tooth.tooth_class(), ground.c.site.crown);
  const auto boxes = [](double length_mm) { return static_cast<std::uint32_t>(std::ceil(length_mm / kGridEdge_mm)); };
  return {.least = {-form.half_width_mm - 1, -form.half_depth_mm - 1, -0.5},
          .edge_mm = kGridEdge_mm,
          .count = {boxes(2 * form.half_width_mm + 2), boxes(2 * form.half_depth_mm + 2),
                    boxes(form.crown_length_mm + 1.5)}};
}

/// Radiant exposure inside [J/cm2 of fluence], by cell: every exposure followed forward, nominal media.
exchange::GridData light_grid(const Solved& solved, std::uint64_t seed, const base::Running& running) {
  const plan::Ground& ground = solved.ground;
  const transport::Grid grid = grid_about(ground);
  std::vector<float> sum(grid.cells(), 0);
  const std::vector<plan::HeldTips> tips = plan::hold_tips(ground, solved.schedule, 1, running);
  const std::uint64_t photons = kGridPhotons / (tips.size() * ground.bands.size());
  for (std::size_t e = 0; e < tips.size(); ++e) {
    const plan::Exposure& exposure = solved.schedule[e];
    const double seconds = optics::full_seconds(ground.c.light.modes[exposure.mode].course, exposure.seconds);
    for (std::size_t b = 0; b < ground.bands.size(); ++b) {
      const transport::ForwardResult result =
          transport::run_forward(ground.scenes[exposure.state], ground.media[b], tips[e].planned,
                                 {.cells = {}, .grid = grid, .photons = photons, .seed = seed + e * 16 + b}, running);
      const double j_cm2 = plan::nominal_power_mw(ground.c) * ground.bands[b].power_share * seconds * 0.1;
      for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] += static_cast<float>(j_cm2 * static_cast<double>(result.grid_fluence_per_mw[i]));
      }
    }
  }
  std::vector<float> medium(grid.cells(), 0);
  const anatomy::Scene& last = ground.scenes[solved.schedule.back().state];
  for (std::size_t i = 0; i < medium.size(); ++i) {
    const std::size_t x = i % grid.count[0];
    const std::size_t y = i / grid.count[0] % grid.count[1];
    const std::size_t z = i / grid.count[0] / grid.count[1];
    const auto middle = [&](std::size_t k) { return (static_cast<double>(k) + 0.5) * grid.edge_mm; };
    medium[i] = static_cast<float>(last.medium_at(grid.least + base::Vec{middle(x), middle(y), middle(z)}));
  }
  return {.first = grid.least,
          .spacing = {grid.edge_mm, grid.edge_mm, grid.edge_mm},
          .nodes = {grid.count[0] + 1U, grid.count[1] + 1U, grid.count[2] + 1U},
          .in_cells = true,
          .fields = {{"fluence over the schedule [J/cm2]", std::move(sum)}, {"medium [1]", std::move(medium)}}};
}

}  // namespace

void write_solve_files(const std::filesystem::path& folder, const Solved& solved, const std::string& json,
                       std::uint64_t seed, const base::Running& running) {
  const plan::Ground& ground = solved.ground;
  const std::vector<plan::Aim> aims = plan::aims(ground.c.site);
  const double across_at = aims.empty() ? 0 : aims.front().at.x;
  const std::string along = draw::paint_png(section(solved, {anatomy::CutDirection::kMesiodistal, 0}, running));
  const std::string across =
      draw::paint_png(section(solved, {anatomy::CutDirection::kBuccolingual, across_at}, running));
  const exchange::GridData light = light_grid(solved, seed, running);
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) throw base::Failure("cannot make the folder " + folder.string() + ": " + error.message());
  base::write_file(folder / "verdict.json", json + "\n");
  base::write_file(folder / "resolved.toml", exchange::resolved_case_toml(ground.c));
  exchange::write_vti(folder / "fields.vti", light);
  base::write_file(folder / "section-mesiodistal.png", along);
  base::write_file(folder / "section-buccolingual.png", across);
}

}  // namespace throughcure::apps
