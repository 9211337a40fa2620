// The frozen cases of the benchmarks: change one and its numbers of before mean nothing any more.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "reference/plain_engine.hpp"
#include "throughcure/anatomy/scene.hpp"
#include "throughcure/transport/cell.hpp"
#include "throughcure/transport/forward.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::bench {

struct Case {
  anatomy::Scene scene;
  transport::Media media;
};

// --- A turbid cube of 10 mm in air, lit from above by a collimated disc of 8 mm; grid of 0.1 mm.
inline constexpr transport::Medium kCubeMedium{.n = 1.5, .mua_per_mm = 0.1, .mus_per_mm = 10, .g = 0.8};

inline Case cube() {
  anatomy::SceneBuilder builder("air");
  builder.add(builder.medium("paste"), anatomy::box({-5, -5, 0}, {5, 5, 10}));
  return {builder.scene(), {transport::air(), kCubeMedium}};
}

inline reference::Stack plain_cube() {
  return {{{kCubeMedium.mua_per_mm, kCubeMedium.mus_per_mm, kCubeMedium.g, kCubeMedium.n, 10}}, 5};
}

inline transport::Grid cube_grid() { return {{-5, -5, 0}, 0.1, {100, 100, 100}}; }

/// A place on the lit disc from two numbers in (0, 1).
inline base::Point on_disc(double u, double v, double z) {
  const double r = 4 * std::sqrt(u);
  return {r * std::cos(2 * std::numbers::pi * v), r * std::sin(2 * std::numbers::pi * v), z};
}

// --- Case C of the published slabs: three layers of index 1.37 in air.
inline reference::Stack slab_case_c() {
  return {{{0.1, 10, 0.9, 1.37, 1}, {0.1, 1, 0, 1.37, 1}, {0.2, 1, 0.7, 1.37, 2}}};
}

// --- A molar with a distal box 6 mm deep, its neighbour, band, wedge and gum. Optical numbers: invented.
namespace tooth {

using anatomy::box;
using anatomy::ellipsoid;
using anatomy::Quadric;

/// A body cut by planes.
inline std::vector<Quadric> both(std::vector<Quadric> body, const std::vector<Quadric>& cuts) {
  body.insert(body.end(), cuts.begin(), cuts.end());
  return body;
}

inline void add_cusps(anatomy::SceneBuilder& builder, anatomy::MediumId medium, double top, double radius) {
  for (const double x : {-2.6, 2.6}) {
    for (const double y : {-2.6, 2.6}) builder.add(medium, {ellipsoid({x, y, top + radius}, {radius, radius, radius})});
  }
}

}  // namespace tooth

inline Case molar() {
  using namespace tooth;
  anatomy::SceneBuilder builder("air");
  const auto air = builder.medium("air");
  const auto enamel = builder.medium("enamel");
  const auto dentine = builder.medium("dentine");
  const auto pulp = builder.medium("pulp");
  const auto resin = builder.medium("resin");
  const auto steel = builder.medium("steel");
  const auto wood = builder.medium("wood");
  const auto gum = builder.medium("gum");
  const Quadric contact = anatomy::half_space({5, 0, 0}, {1, 0, 0});

  builder.add(steel, box({5, -4, -0.5}, {5.05, 4, 7.5}));
  builder.add(wood, both({anatomy::cylinder({5.8, 0, 8}, {0, 1, 0}, 0.7)}, box({4, -5, 6}, {8, 5, 10})));
  builder.add(resin, box({3, -2, 4}, {5, 2, 6}));
  builder.add(air, box({3, -2, -3}, {5, 2, 6}));
  builder.add(air, box({-2.5, -1.5, -3}, {3, 1.5, 2.4}));
  builder.add(air, both({anatomy::cylinder({3, 0, 0}, {0, 0, 1}, 2)}, box({0, -2, -3}, {5, 2, 2.4})));
  for (const double y : {-1.5, 1.5}) builder.add(pulp, {ellipsoid({-1, y, 5}, {0.6, 0.6, 1.2})});
  builder.add(pulp, {ellipsoid({-0.5, 0, 7}, {2, 2, 1.4})});
  for (const double x : {-2.0, 2.0}) {
    builder.add(pulp, both({anatomy::cylinder({x, 0, 0}, {0, 0, 1}, 0.4)}, box({-9, -9, 7}, {9, 9, 16})));
  }
  add_cusps(builder, dentine, 1.4, 1.6);
  builder.add(dentine, both({ellipsoid({0, 0, 6}, {4.6, 4.8, 4.6})}, {contact}));
  for (const double x : {-2.0, 2.0}) {
    builder.add(dentine, both({anatomy::paraboloid({x, 0, 18}, {0, 0, -1}, {1, 0, 0}, 10, 2.2, 3.5)},
                              {anatomy::half_space({0, 0, 7}, {0, 0, -1})}));
  }
  add_cusps(builder, enamel, 0, 2.2);
  builder.add(enamel,
              both({ellipsoid({0, 0, 5.5}, {5.2, 5.4, 5.2})}, {contact, anatomy::half_space({0, 0, 8}, {0, 0, 1})}));
  // The neighbour.
  builder.add(dentine,
              both({ellipsoid({9.6, 0, 6}, {3.6, 4.4, 4.4})}, {anatomy::half_space({5.05, 0, 0}, {-1, 0, 0})}));
  builder.add(enamel,
              both({ellipsoid({9.6, 0, 5.5}, {4.5, 5.2, 5.3})}, {anatomy::half_space({5.05, 0, 0}, {-1, 0, 0})}));
  builder.add(dentine, both({anatomy::cylinder({9.6, 0, 0}, {0, 0, 1}, 3)}, box({5, -5, 8}, {14, 5, 18})));
  for (const double side : {-1.0, 1.0}) builder.add(gum, {ellipsoid({4, side * 6, 11}, {12, 3, 3})});
  builder.add(gum, box({-20, -12, 9}, {20, 12, 20}));

  return {builder.scene(),
          {transport::air(),
           {.n = 1.63, .mua_per_mm = 0.03, .mus_per_mm = 4, .g = 0.9},
           {.n = 1.54, .mua_per_mm = 0.2, .mus_per_mm = 20, .g = 0.9},
           {.n = 1.36, .mua_per_mm = 1, .mus_per_mm = 10, .g = 0.9},
           {.n = 1.52, .mua_per_mm = 0.15, .mus_per_mm = 6, .g = 0.8},
           {.kind = transport::MediumKind::metal, .reflectance = 0.5, .specular = 0.5},
           {.n = 1.5, .mua_per_mm = 0.2, .mus_per_mm = 10, .g = 0.8},
           {.n = 1.38, .mua_per_mm = 0.6, .mus_per_mm = 10, .g = 0.9}}};
}

/// On the floor of the box.
inline transport::Cell floor_cell() { return {{4.2, 0, 5.8}, 0.15}; }

/// A tip of 8 mm, 1 mm above the cusps.
inline transport::PosedTip tip_over_molar(double x = 3) {
  return transport::posed(
      optics::tip_source(optics::tip_map(optics::UniformDisc{}, 8), optics::shape_of_half_angle(25, 0.1)), {x, 0, -1},
      {0, 0, 1});
}

}  // namespace throughcure::bench
