#include "throughcure/cure/mould_table.hpp"

#include <cmath>
#include <string>
#include <variant>

#include "throughcure/cure/usual_test_light.hpp"
#include "throughcure/optics/source.hpp"

namespace throughcure::cure {

namespace {

constexpr double kSame = 1e-6;

bool same(double a, double b) { return std::abs(a - b) <= kSame * (1 + std::abs(b)); }

bool same(const MouldForm& a, const MouldForm& b) {
  return same(a.bore_diameter_mm, b.bore_diameter_mm) && same(a.height_mm, b.height_mm) &&
         same(a.wall_specular, b.wall_specular) && same(a.floor_reflectance, b.floor_reflectance) &&
         same(a.standoff_mm, b.standoff_mm);
}

bool same(const optics::AngularShape& a, const optics::AngularShape& b) {
  return same(a.core_exponent, b.core_exponent) && same(a.tail_exponent, b.tail_exponent) &&
         same(a.tail_share, b.tail_share);
}

bool inside(const std::vector<double>& nodes, const Span& span) {
  return span.low >= nodes.front() * (1 - kSame) && span.high <= nodes.back() * (1 + kSame);
}

}  // namespace

bool answers(const MouldTable& table, const MouldQuestion& question) {
  const MouldGrid& grid = table.light.grid;
  const optics::Light& light = question.light;
  return same(table.form, question.form) && std::holds_alternative<optics::UniformDisc>(light.beam) &&
         same(table.tip_diameter_mm, light.tip_diameter_mm) && same(table.shape, light.shape) &&
         std::abs(grid.n - question.n) <= kMostOffIndex + kSame &&
         std::abs(grid.g - question.g) <= kMostOffAnisotropy + kSame &&
         inside(grid.mua_per_mm, question.spans.mua_per_mm) &&
         question.spans.reduced_scattering_per_mm.high <= grid.reduced_scattering_per_mm.back() * (1 + kSame) &&
         inside(grid.wall_reflectance, question.spans.wall_reflectance);
}

MouldTable make_mould_table(std::uint64_t photons, std::uint64_t seed, const base::Running& running) {
  const optics::Light light = usual_test_light();
  const MouldGrid grid{.mua_per_mm = geometric(0.025, 1.25, 14),
                       .reduced_scattering_per_mm = {0.01, 0.1, 0.25, 0.5, 0.75, 1, 1.4, 2, 2.8, 4},
                       .wall_reflectance = {0.3, 0.4, 0.5, 0.6, 0.7},
                       .n = 1.53,
                       .g = 0.8};
  return {.form = {},
          .tip_diameter_mm = light.tip_diameter_mm,
          .shape = light.shape,
          .light = simulate_mould({}, grid, optics::tip_source(light), photons, seed, running),
          .photons = photons,
          .seed = seed,
          .provenance = {.kind = base::Kind::kDerived,
                         .source = "computed by this program: forward Monte Carlo, " + std::to_string(photons) +
                                   " packets for each mus', seed " + std::to_string(seed)}};
}

}  // namespace throughcure::cure
