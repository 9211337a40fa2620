// The kept light of the scrape test's mould: some of it computed again, and when it is asked.
#include "throughcure/cure/mould_table.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <gtest/gtest.h>

#include "throughcure/cure/mould_of_material.hpp"
#include "throughcure/exchange/mould_table_file.hpp"
#include "throughcure/optics/source.hpp"
#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

const MouldTable& kept() {
  static const MouldTable read = exchange::reference_mould_table();
  return read;
}

// Nodes of the table, simulated with another seed: 24 places within 3.5 combined standard errors and the rounding of
// the file. The table's own error is this run's, less by the root of the ratio of the packets. Neighbouring places
// share packets; taken as free, one false alarm in 90 seeds.
TEST(MouldTable, SomeOfItComputedAgainIsTheSame) {
  const MouldGrid& grid = kept().light.grid;
  const std::size_t a = 5;  // mua
  const std::size_t w = 2;  // wall
  constexpr std::uint64_t kPhotons = 128'000;
  const double more = static_cast<double>(kPhotons) / static_cast<double>(kept().photons);
  MouldGrid some = grid;
  some.mua_per_mm = {grid.mua_per_mm[a], grid.mua_per_mm[a + 3]};
  some.reduced_scattering_per_mm = {grid.reduced_scattering_per_mm[3], grid.reduced_scattering_per_mm[7]};
  some.wall_reflectance = {grid.wall_reflectance[w], grid.wall_reflectance[w + 2]};
  const MouldLight again = simulate_mould(kept().form, some, optics::tip_source(usual_test_light()), kPhotons, 77,
                                          {.threads = base::hardware_threads()});
  const std::size_t depths = again.depths;
  ASSERT_EQ(kept().light.depths, depths);
  const std::size_t scatterings[] = {3, 7};
  for (std::size_t s = 0; s < 2; ++s) {
    for (std::size_t v = 0; v < 4; ++v) {
      const std::size_t wall = v / 2;
      const std::size_t mua = v % 2;
      const std::size_t row =
          ((scatterings[s] * grid.wall_reflectance.size() + w + 2 * wall) * grid.mua_per_mm.size() + a + 3 * mua) *
          depths;
      for (const std::size_t z : {0U, 6U, 14U}) {
        const std::size_t i = ((s * 2 + wall) * 2 + mua) * depths + z;
        const double off = again.log_fluence[i] - kept().light.log_fluence[row + z];
        EXPECT_LT(std::abs(off), 3.5 * again.relative_se[i] * std::sqrt(1 + more) + 0.0005)
            << s << " " << v << " " << z;
      }
    }
  }
}

TEST(MouldTable, IsAskedForTheUsualLightInContactAndNoOther) {
  const optics::Light usual = usual_test_light();
  optics::Light wider = usual;
  wider.tip_diameter_mm = 10;
  optics::Light narrower = usual;
  narrower.shape = optics::shape_of_half_angle(10, 0);
  const ResinSpans spans{.mua_per_mm = {0.1, 0.5}, .reduced_scattering_per_mm = {1, 3}, .wall_reflectance = {0.3, 0.7}};
  const auto asked = [&](const optics::Light& light, double n, double g, const ResinSpans& of, double standoff_mm) {
    MouldForm form;
    form.standoff_mm = standoff_mm;
    return answers(kept(), {.form = form, .light = light, .n = n, .g = g, .spans = of});
  };
  EXPECT_TRUE(asked(usual, 1.53, 0.8, spans, 0));
  EXPECT_FALSE(asked(wider, 1.53, 0.8, spans, 0));
  EXPECT_FALSE(asked(narrower, 1.53, 0.8, spans, 0));
  EXPECT_FALSE(asked(usual, 1.53, 0.8, spans, 1));
  EXPECT_FALSE(asked(usual, 1.60, 0.8, spans, 0));
  EXPECT_FALSE(asked(usual, 1.53, 0.3, spans, 0));
  ResinSpans darker = spans;
  darker.mua_per_mm.take(3);
  EXPECT_FALSE(asked(usual, 1.53, 0.8, darker, 0));
  ResinSpans clear = spans;
  clear.reduced_scattering_per_mm.take(1e-4);
  EXPECT_TRUE(asked(usual, 1.53, 0.8, clear, 0)) << "less scattering than the table's least is as good as none";
}

// A material's mould from the table and from a simulation of its own: its profile along the axis where a scrape ends.
// The simulation of 100 000 packets is the worse of the two; 15 % is some three of its standard errors 5 mm deep.
TEST(MouldTable, StandsForAMaterialsOwnSimulation) {
  DrawSource source = invented::paste();
  const base::Running running{.threads = base::hardware_threads()};
  const MouldOf simulated = mould_of_material(source, usual_test_light(), 0, {.photons = 100'000}, running);
  source.mould_table = std::make_shared<const MouldTable>(kept());
  const MouldOf looked_up = mould_of_material(source, usual_test_light(), 0, {.photons = 1}, running);
  for (std::uint64_t id = 0; id < 8; ++id) {
    const Draw draw = prior_draw(source, 1, id);
    for (const double depth : {1.0, 3.0, 5.0}) {
      EXPECT_NEAR(ln_phi_per_exitance(looked_up(draw), depth), ln_phi_per_exitance(simulated(draw), depth), 0.15)
          << id << " at " << depth;
    }
  }
}

}  // namespace
}  // namespace throughcure::cure
