// What guides are made from, in cases that have an answer on paper.
#include "throughcure/transport/diffusion.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "throughcure/transport/first_flights.hpp"

namespace throughcure::transport {
namespace {

/// A turbid block from z = 0 down to z = 12 that fills the grid but for one layer of air boxes above it.
struct Block {
  anatomy::Scene scene;
  Media media;
  Grid grid{{-3, -3, -0.4}, 0.4, {15, 15, 30}};
};
Block block(Medium medium) {
  anatomy::SceneBuilder builder("air");
  builder.add(builder.medium("turbid"), anatomy::box({-20, -20, 0}, {20, 20, 20}));
  return {builder.scene(), {air(), medium}};
}

double mean_of_layer(const Grid& grid, std::span<const double> values, double z_mm) {
  double sum = 0;
  int boxes = 0;
  for (std::size_t box = 0; box < grid.cells(); ++box) {
    if (std::abs(grid.middle(box).z - z_mm) > grid.edge_mm / 2) continue;
    sum += values[box];
    ++boxes;
  }
  return sum / boxes;
}

// From a plane source deep inside, light falls as exp(-z sqrt(mua / D)).
TEST(Diffusion, FallsAsItsEquationSays) {
  const Block b = block({.n = 1.5, .mua_per_mm = 0.1, .mus_per_mm = 5, .g = 0.8});
  const auto medium_of = media_of_boxes(b.scene, b.grid);
  std::vector<double> source(b.grid.cells(), 0);
  for (std::size_t box = 0; box < b.grid.cells(); ++box) {
    source[box] = std::abs(b.grid.middle(box).z - 5.0) < 0.1 ? 1 : 0;
  }
  const std::vector<double> light = diffuse(b.grid, medium_of, b.media, source);
  const double spread = 1 / (3 * (0.1 + 1.0));
  const double falls_per_mm = std::sqrt(0.1 / spread);
  const double found = std::log(mean_of_layer(b.grid, light, 6.2) / mean_of_layer(b.grid, light, 7.8)) / 1.6;
  // Bound: boxes of 0.4 mm, of which sinh makes 0.2 %, and rims that send everything back.
  EXPECT_NEAR(found, falls_per_mm, 0.02 * falls_per_mm);
  EXPECT_EQ(mean_of_layer(b.grid, light, -0.2), 0) << "air has none";
  EXPECT_LT(mean_of_layer(b.grid, light, 0.2), mean_of_layer(b.grid, light, 3.4)) << "light leaves into air";
}

// A narrow light straight down: Beer's law with absorption and reduced scattering, less what Fresnel turns back.
TEST(FirstFlights, WeakenByBeersLaw) {
  const Block b = block({.n = 1.5, .mua_per_mm = 0.2, .mus_per_mm = 2, .g = 0.75});
  const PosedTip tip =
      posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 3), optics::shape_of_half_angle(3, 0)),
            {0, 0, -1}, {0, 0, 1});
  const FirstFlights flights = first_flights(b.scene, b.media, tip, b.grid);
  const double transmitted = 1 - std::pow(0.5 / 2.5, 2);
  const double layer_mm2 = 6.0 * 6.0;
  for (const double z : {0.6, 1.4, 3.0}) {
    const double fluence = mean_of_layer(b.grid, flights.fluence, z) * layer_mm2;
    // Bound: 0.7 % for each layer's width; 1 % for the light's own spread.
    EXPECT_NEAR(fluence, transmitted * std::exp(-0.7 * z), 0.02 * std::exp(-0.7 * z)) << "at " << z << " mm";
    EXPECT_NEAR(mean_of_layer(b.grid, flights.scattered, z) * layer_mm2, 0.5 * fluence, 1e-9);
  }
  // Light that is still on its way goes down, and turns away from it by reduced scattering.
  base::Vec flow{};
  double fluence = 0;
  for (std::size_t box = 0; box < b.grid.cells(); ++box) {
    if (std::abs(b.grid.middle(box).z - 1.4) > 0.2) continue;
    flow = flow + flights.flow[box];
    fluence += flights.fluence[box];
  }
  EXPECT_NEAR(flow.z / fluence, std::exp(-0.5 * 1.4), 0.02);
  EXPECT_NEAR(flow.x / fluence, 0, 0.02);
}

// A clear solid without an end: light goes on in it for ever, and is followed as far as the grid.
TEST(FirstFlights, EndWithTheGrid) {
  anatomy::SceneBuilder builder("air");
  builder.add(builder.medium("clear"), {anatomy::half_space({0, 0, 0}, {0, 0, -1})});
  const Media media = {air(), {.n = 1.5}};
  const PosedTip tip =
      posed(optics::tip_source(optics::tip_map(optics::UniformDisc{}, 3), optics::shape_of_half_angle(3, 0)),
            {0, 0, -1}, {0, 0, 1});
  const Grid grid{{-3, -3, -0.4}, 0.4, {15, 15, 30}};
  const FirstFlights flights = first_flights(builder.scene(), media, tip, grid);
  EXPECT_NEAR(mean_of_layer(grid, flights.fluence, 11) * 36, 1 - std::pow(0.5 / 2.5, 2), 0.02);
}

TEST(Grid, FindsItsCells) {
  const Grid grid{{-1, -2, -3}, 0.5, {4, 5, 6}};
  for (std::size_t cell = 0; cell < grid.cells(); ++cell) {
    EXPECT_EQ(grid.cell_at(grid.middle(cell)), cell);
    EXPECT_EQ(grid.nearest_cell(grid.middle(cell)), cell);
    int neighbours = 0;
    grid.neighbours(cell, [&](std::size_t other, std::size_t, int) {
      EXPECT_NEAR(base::length(grid.middle(other) - grid.middle(cell)), 0.5, 1e-12);
      ++neighbours;
    });
    EXPECT_GE(neighbours, 3);
    EXPECT_LE(neighbours, 6);
  }
  EXPECT_FALSE(grid.cell_at({-1.1, -2, -3}));
  EXPECT_EQ(grid.nearest_cell({-100, -2, -3}), 0U);
  EXPECT_EQ(grid.nearest_cell({100, 100, 100}), grid.cells() - 1);
}

}  // namespace
}  // namespace throughcure::transport
