// Photons a second: forward in a cube and in layers against the plain engine, backwards from a box against forwards.
#include <numbers>

#include "contest.hpp"
#include "scenes.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"
#include "throughcure/transport/slab.hpp"

namespace throughcure::bench {
namespace {

using transport::ForwardInput;
using transport::ForwardResult;

constexpr int kRounds = 9;

/// Mean over the middle of the cube (|x|, |y| < 1 mm, 4 to 6 mm deep) of what a grid of 0.1 mm holds.
template <class Values>
double middle_of(const Values& grid) {
  double sum = 0;
  for (std::size_t z = 40; z < 60; ++z) {
    for (std::size_t y = 40; y < 60; ++y) {
      for (std::size_t x = 40; x < 60; ++x) sum += static_cast<double>(grid[(z * 100 + y) * 100 + x]);
    }
  }
  return sum / (20 * 20 * 20);
}

/// Absorbed share and the fluence in the middle for 1 mW [1/mm2], both engines with a grid of 0.1 mm.
void forward_cube(benchmark::State& state) {
  const Case c = cube();
  const reference::Stack plain = plain_cube();
  constexpr std::uint64_t photons = 16'000;
  constexpr std::uint64_t plain_photons = 4000;
  Answer absorbed;
  Answer middle;
  Answer plain_absorbed;
  Answer plain_middle;
  contest(
      state, {photons, plain_photons},
      [&](std::uint64_t round) {
        const transport::Starter starter = [](base::Stream& random) {
          const double u = random.uniform();
          return transport::Start{on_disc(u, random.uniform(), -0.01), {0, 0, 1}};
        };
        const ForwardResult r = transport::run_forward(
            c.scene, c.media, starter, {.cells = {}, .grid = cube_grid(), .photons = photons, .seed = round}, {});
        absorbed.add(r.absorbed[1].value);
        middle.add(middle_of(r.grid_fluence_per_mw));
      },
      [&](std::uint64_t round) {
        reference::Random random(round);
        reference::Sums sums;
        sums.absorbed.resize(1);
        std::vector<double> grid(cube_grid().cells());
        const auto deposit = [&grid](const reference::Photon& p, std::size_t, double w) {
          const auto bin = [](double r) { return static_cast<std::size_t>(std::clamp(r * 10, 0.0, 99.0)); };
          grid[(bin(p.z) * 100 + bin(p.y + 5)) * 100 + bin(p.x + 5)] += w;
        };
        for (std::uint64_t i = 0; i < plain_photons; ++i) {
          const double u = reference::draw(random);
          const base::Point start = on_disc(u, reference::draw(random), 0);
          reference::walk(plain, {.x = start.x, .y = start.y}, random, sums, deposit);
        }
        plain_absorbed.add(sums.absorbed[0] / plain_photons);
        plain_middle.add(middle_of(grid) / (plain_photons * kCubeMedium.mua_per_mm * 1e-3));
      });
  expect(state, "absorbed", absorbed.estimate(), plain_absorbed.estimate());
  expect(state, "fluence", middle.estimate(), plain_middle.estimate());
}
BENCHMARK(forward_cube)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

/// Source of Rd and Tt: adding-doubling with 32 quadrature points; kind: computed, as in the tests of the slab.
void slab_case_c(benchmark::State& state) {
  const reference::Stack plain = bench::slab_case_c();
  transport::SlabInput input;
  for (const reference::Layer& l : plain.layers) {
    input.layers.push_back({l.mua_per_mm, l.mus_per_mm, l.g, l.n, l.thickness_mm});
  }
  input.photons = 40'000;
  constexpr std::uint64_t plain_photons = 20'000;
  Answer Rd;
  Answer Tt;
  Answer plain_Rd;
  Answer plain_Tt;
  contest(
      state, {static_cast<double>(input.photons), plain_photons},
      [&](std::uint64_t round) {
        input.seed = round;
        const transport::SlabResult r = transport::run_slab(input, {});
        Rd.add(r.Rd.value);
        Tt.add(r.Tt.value);
      },
      [&](std::uint64_t round) {
        reference::Random random(round);
        reference::Sums sums;
        sums.absorbed.resize(plain.layers.size());
        for (std::uint64_t i = 0; i < plain_photons; ++i) {
          reference::walk(plain, {}, random, sums, [](const reference::Photon&, std::size_t, double) {});
        }
        plain_Rd.add(sums.up / plain_photons);
        plain_Tt.add(sums.down / plain_photons);
      });
  expect(state, "Rd", Rd.estimate(), {0.23787, 5e-6});
  expect(state, "Tt", Tt.estimate(), {0.09605, 5e-6});
  expect(state, "plain_Rd", plain_Rd.estimate(), {0.23787, 5e-6});
  expect(state, "plain_Tt", plain_Tt.estimate(), {0.09605, 5e-6});
}
BENCHMARK(slab_case_c)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

/// Fluence at the floor of the box for 1 mW [1/mm2]. `merit`: how many times less work backwards than forwards for the
/// same standard error.
void reverse_molar(benchmark::State& state) {
  const Case c = molar();
  const transport::PosedTip tip = tip_over_molar();
  constexpr std::uint64_t paths = 4000;
  constexpr std::uint64_t photons = 40'000;
  Answer back;
  Answer there;
  contest(
      state, {paths, photons},
      [&](std::uint64_t round) {
        const transport::ReverseRays rays =
            transport::run_reverse(c.scene, c.media, {.cell = floor_cell(), .paths = paths, .seed = round}, {});
        back.add(fluence_per_mw(rays, tip).value);
      },
      [&](std::uint64_t round) {
        const ForwardInput input{.cells = {floor_cell()}, .photons = photons, .seed = round};
        there.add(transport::run_forward(c.scene, c.media, tip, input, {}).fluence_per_mw[0].value);
      });
  const base::Estimate forward = there.estimate();
  expect(state, "fluence", back.estimate(), forward);
  const double work = (photons / state.counters["other_per_s"]) / (paths / state.counters["per_s"]);
  state.counters["merit"] = work * std::pow(forward.se / back.estimate().se, 2);
}
BENCHMARK(reverse_molar)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
