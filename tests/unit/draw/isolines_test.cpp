// Isolines of fields whose level lines are known.
#include "throughcure/draw/isolines.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::draw {
namespace {

/// A lattice of `nodes` x `nodes` over [-1, 1] x [-1, 1] mm.
template <class Value>
Lattice field_of(std::size_t nodes, Value value) {
  Lattice field{
      .first = {-1, -1}, .step_mm = 2 / static_cast<double>(nodes - 1), .columns = nodes, .rows = nodes, .value = {}};
  for (std::size_t j = 0; j < nodes; ++j) {
    for (std::size_t i = 0; i < nodes; ++i) {
      field.value.push_back(
          value(-1 + field.step_mm * static_cast<double>(i), -1 + field.step_mm * static_cast<double>(j)));
    }
  }
  return field;
}

double signed_area(const Line& line) {
  double sum = 0;
  for (std::size_t k = 0; k < line.size(); ++k) {
    const Place& a = line[k];
    const Place& b = line[(k + 1) % line.size()];
    sum += (a.x_mm * b.y_mm - b.x_mm * a.y_mm) / 2;
  }
  return sum;
}

TEST(Isolines, OfACone) {
  const Lattice cone = field_of(81, [](double x, double y) { return 1 - std::hypot(x, y); });
  const auto lines = isolines(cone, 0.4);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_TRUE(lines[0].closed);
  for (const Place& p : lines[0].line) EXPECT_NEAR(std::hypot(p.x_mm, p.y_mm), 0.6, 5e-4);
  // The higher values lie inside, on the left as one looks at it: counter-clockwise, which with y downwards is
  // negative.
  EXPECT_NEAR(signed_area(lines[0].line), -std::numbers::pi * 0.36, 2e-3);
}

TEST(Isolines, OfASlopeRunsFromEdgeToEdge) {
  const Lattice slope = field_of(11, [](double x, double y) { return x + 0.5 * y; });
  const auto lines = isolines(slope, 0.13);
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_FALSE(lines[0].closed);
  for (const Place& p : lines[0].line) EXPECT_NEAR(p.x_mm + 0.5 * p.y_mm, 0.13, 1e-12);
  EXPECT_NEAR(std::abs(lines[0].line.front().y_mm), 1, 1e-12);
  EXPECT_NEAR(lines[0].line.front().y_mm, -lines[0].line.back().y_mm, 1e-12);
}

TEST(Isolines, ASaddleIsPartedByItsMiddle) {
  const Lattice saddle{.first = {0, 0}, .step_mm = 1, .columns = 2, .rows = 2, .value = {1, 0, 0, 1}};
  // The middle, 0.5, is above 0.4: the two high corners join, and each low corner is cut off by a line of its own.
  for (const auto& [level, low_cut_off] : {std::pair{0.4, true}, std::pair{0.6, false}}) {
    const auto lines = isolines(saddle, level);
    ASSERT_EQ(lines.size(), 2U) << level;
    for (const Isoline& one : lines) {
      ASSERT_EQ(one.line.size(), 2U);
      const double x = (one.line[0].x_mm + one.line[1].x_mm) / 2;
      const double y = (one.line[0].y_mm + one.line[1].y_mm) / 2;
      EXPECT_EQ((x > 0.5) != (y > 0.5), low_cut_off) << level;
    }
  }
}

TEST(Isolines, NoneWhereNothingPasses) {
  const Lattice flat = field_of(5, [](double, double) { return 1.0; });
  EXPECT_TRUE(isolines(flat, 1).empty()) << "a node at the level counts as above";
  EXPECT_TRUE(isolines(flat, 0.5).empty());
  EXPECT_TRUE(isolines(flat, 2).empty());
  EXPECT_TRUE(isolines({}, 0).empty());
}

TEST(Isolines, InsideACircleARingStaysWholeOrFallsIntoPieces) {
  const Isoline ring{.line = circle({0.5, 0}, 1), .closed = true};
  const auto whole = inside_circle(ring, 2);
  ASSERT_EQ(whole.size(), 1U);
  EXPECT_TRUE(whole[0].closed);
  // Two circles of radius 1, half a radius apart: each has its part inside the other, over 2 acos(1 / 4) of its turn.
  const auto part = inside_circle(ring, 1);
  ASSERT_EQ(part.size(), 1U);
  EXPECT_FALSE(part[0].closed);
  const double step = length_mm({ring.line[0], ring.line[1]});
  EXPECT_LE(length_mm(part[0].line), 2 * std::acos(0.25));
  EXPECT_GE(length_mm(part[0].line), 2 * std::acos(0.25) - 2 * step);
  EXPECT_TRUE(inside_circle(ring, 0.1).empty());
}

RC_GTEST_PROP(Isolines, EndOnlyAtTheEdgeAndCrossEverySideOnce, ()) {
  const std::size_t nodes = 7;
  const auto values = *rc::gen::container<std::vector<int>>(nodes * nodes, rc::gen::inRange(0, 6));
  Lattice field{.first = {0, 0}, .step_mm = 1, .columns = nodes, .rows = nodes, .value = {}};
  for (const int v : values) field.value.push_back(v);
  const double level = *rc::gen::inRange(0, 6) + 0.0;
  // Sides whose two nodes lie on two sides of the level: each must carry one place of one line.
  std::size_t crossings = 0;
  const auto above = [&](std::size_t i, std::size_t j) { return field.at(i, j) >= level; };
  for (std::size_t j = 0; j < nodes; ++j) {
    for (std::size_t i = 0; i < nodes; ++i) {
      if (i + 1 < nodes && above(i, j) != above(i + 1, j)) ++crossings;
      if (j + 1 < nodes && above(i, j) != above(i, j + 1)) ++crossings;
    }
  }
  std::size_t places = 0;
  for (const Isoline& one : isolines(field, level)) {
    places += one.line.size();
    const auto at_edge = [](const Place& p) {
      const auto edge = [](double v) { return v < 1e-9 || v > nodes - 1 - 1e-9; };
      return edge(p.x_mm) || edge(p.y_mm);
    };
    if (!one.closed) RC_ASSERT(at_edge(one.line.front()) && at_edge(one.line.back()));
  }
  RC_ASSERT(places == crossings);
}

}  // namespace
}  // namespace throughcure::draw
