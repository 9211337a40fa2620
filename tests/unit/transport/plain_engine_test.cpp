// The walk against the plain engine of bench/reference: two programs that share no physics must agree.
#include "reference/plain_engine.hpp"

#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/slab.hpp"

namespace throughcure::transport {
namespace {

struct PlainResult {
  base::Estimate specular, up, down, sideways;
  std::vector<base::Estimate> absorbed;
};

/// The plain engine in 32 batches; photons start on a square of `beam_half_mm` at z = 0, straight down.
PlainResult run_plain(const reference::Stack& stack, double beam_half_mm, int photons_per_batch, std::uint64_t seed) {
  std::vector<reference::Sums> batches(32);
  for (std::size_t b = 0; b < batches.size(); ++b) {
    reference::Random random(seed * 1000 + b);
    batches[b].absorbed.resize(stack.layers.size());
    for (int i = 0; i < photons_per_batch; ++i) {
      const double x = beam_half_mm * (2 * reference::draw(random) - 1);
      const double y = beam_half_mm * (2 * reference::draw(random) - 1);
      reference::walk(stack, {.x = x, .y = y}, random, batches[b],
                      [](const reference::Photon&, std::size_t, double) {});
    }
  }
  const auto estimate = [&](auto&& pick) {
    std::vector<double> means;
    means.reserve(batches.size());
    for (const reference::Sums& sums : batches) means.push_back(pick(sums) / photons_per_batch);
    return base::estimate_from_batches(means);
  };
  PlainResult r{estimate([](const reference::Sums& s) { return s.specular; }),
                estimate([](const reference::Sums& s) { return s.up; }),
                estimate([](const reference::Sums& s) { return s.down; }),
                estimate([](const reference::Sums& s) { return s.sideways; }),
                {}};
  for (std::size_t i = 0; i < stack.layers.size(); ++i) {
    r.absorbed.push_back(estimate([i](const reference::Sums& s) { return s.absorbed[i]; }));
  }
  return r;
}

// Bound: 4 combined standard errors (a false alarm once in 16,000 a comparison, some 40 here; fixed seeds).
void expect_same(const base::Estimate& ours, const base::Estimate& plain, const char* what) {
  EXPECT_NEAR(ours.value, plain.value, 4 * std::hypot(ours.se, plain.se) + 1e-12) << what;
  EXPECT_LT(std::hypot(ours.se, plain.se), 0.01) << what << " says nothing with so large an error";
}

TEST(PlainEngine, GivesThePublishedSlab) {
  // Source: van de Hulst 1980, Multiple Light Scattering, table 35: Rd 0.09739, Tt 0.66096; kind: published.
  const PlainResult r = run_plain({{{1, 9, 0.75, 1, 0.2}}}, 0, 12'000, 1);
  expect_same(r.up, {0.09739, 5e-6}, "Rd");
  expect_same(r.down, {0.66096, 5e-6}, "Tt");
}

TEST(PlainEngine, AgreesWithTheWalkInRandomLayers) {
  for (std::uint64_t id = 0; id < 6; ++id) {
    base::Stream random(61, 0, id);
    const auto within = [&random](double lo, double hi) { return lo + (hi - lo) * random.uniform(); };
    reference::Stack stack;
    SlabInput input{.layers = {}, .photons = 100'000, .seed = id};
    const int layers = 1 + static_cast<int>(3 * random.uniform());
    for (int i = 0; i < layers; ++i) {
      const reference::Layer l{within(0.05, 1), within(1, 10), within(-0.2, 0.95), within(1, 1.7), within(0.1, 2)};
      stack.layers.push_back(l);
      input.layers.push_back({l.mua_per_mm, l.mus_per_mm, l.g, l.n, l.thickness_mm});
    }
    const SlabResult ours = run_slab(input, {.threads = base::hardware_threads()});
    const PlainResult plain = run_plain(stack, 0, 2'000, id + 2);
    SCOPED_TRACE(id);
    expect_same(ours.Rsp, plain.specular, "Rsp");
    expect_same(ours.Rd, plain.up, "Rd");
    expect_same(ours.Tt, plain.down, "Tt");
    for (std::size_t i = 0; i < stack.layers.size(); ++i) expect_same(ours.A_by_layer[i], plain.absorbed[i], "A");
  }
}

TEST(PlainEngine, AgreesWithTheWalkInABlock) {
  const reference::Stack stack{{{0.2, 6, 0.8, 1.5, 2}, {0.05, 3, 0.5, 1.3, 1}}, 2};
  anatomy::SceneBuilder builder("air");
  builder.add(builder.medium("upper"), anatomy::box({-2, -2, 0}, {2, 2, 2}));
  builder.add(builder.medium("lower"), anatomy::box({-2, -2, 2}, {2, 2, 3}));
  const Media media = {air(),
                       {.n = 1.5, .mua_per_mm = 0.2, .mus_per_mm = 6, .g = 0.8},
                       {.n = 1.3, .mua_per_mm = 0.05, .mus_per_mm = 3, .g = 0.5}};
  const Starter beam = [](base::Stream& random) {
    const double x = 3 * random.uniform() - 1.5;
    return Start{{x, 3 * random.uniform() - 1.5, -0.5}, {0, 0, 1}};
  };
  const ForwardResult ours = run_forward(builder.scene(), media, beam, {.photons = 100'000, .seed = 62},
                                         {.threads = base::hardware_threads()});
  const PlainResult plain = run_plain(stack, 1.5, 3'000, 9);
  expect_same(ours.absorbed[1], plain.absorbed[0], "absorbed in the upper layer");
  expect_same(ours.absorbed[2], plain.absorbed[1], "absorbed in the lower layer");
  expect_same(ours.escaped,
              {plain.specular.value + plain.up.value + plain.down.value + plain.sideways.value,
               std::hypot(std::hypot(plain.up.se, plain.down.se), std::hypot(plain.sideways.se, plain.specular.se))},
              "escaped");
}

}  // namespace
}  // namespace throughcure::transport
