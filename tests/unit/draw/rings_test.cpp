// Closed lines: what is inside, what of a line is kept, fewer places for the same form.
#include "throughcure/draw/rings.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "throughcure/draw/decimal.hpp"
#include "throughcure/draw/isolines.hpp"

namespace throughcure::draw {
namespace {

const Line kSquare{{0, 0}, {4, 0}, {4, 4}, {0, 4}};
const Line kHole{{1, 1}, {1, 3}, {3, 3}, {3, 1}};

TEST(Rings, AHoleIsOutside) {
  EXPECT_TRUE(inside({kSquare, kHole}, {0.5, 2}));
  EXPECT_FALSE(inside({kSquare, kHole}, {2, 2}));
  EXPECT_FALSE(inside({kSquare, kHole}, {-1, 2}));
  EXPECT_DOUBLE_EQ(area_mm2(kSquare), 16);
  EXPECT_DOUBLE_EQ(area_mm2(kHole), -4);
}

TEST(Rings, ALineIsKeptWhereItIsInside) {
  const Line across{{-1, 2}, {5, 2}, {5, 0.5}, {-1, 0.5}};
  const auto pieces = pieces_where(across, false, [](const Place& p) { return p.x_mm > 0 && p.x_mm < 4; });
  // Segments end inside or outside: the first one has both ends outside and is seen by neither.
  EXPECT_TRUE(pieces.empty());
  const Line fine{{-1, 2}, {1, 2}, {3, 2}, {5, 2}};
  const auto kept = pieces_where(fine, false, [](const Place& p) { return inside({kSquare}, p); });
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_NEAR(length_mm(kept[0]), 4, 0.01);
}

TEST(Rings, AClosedLineEnteredInTheMiddleComesInOnePiece) {
  const Line ring{{2, -1}, {3, 1}, {2, 3}, {1, 1}};
  const auto pieces = pieces_where(ring, true, [](const Place& p) { return p.y_mm < 2; });
  ASSERT_EQ(pieces.size(), 1U);
  EXPECT_NEAR(pieces[0].front().y_mm, 2, 0.01);
  EXPECT_NEAR(pieces[0].back().y_mm, 2, 0.01);
  const auto whole = pieces_where(ring, true, [](const Place&) { return true; });
  ASSERT_EQ(whole.size(), 1U);
  EXPECT_EQ(whole[0].front(), whole[0].back());
}

TEST(Rings, SimplifiedStaysClose) {
  const Line fine = circle({10, 10}, 5);
  const Line few = simplified(fine, 0.05);
  EXPECT_LT(few.size(), fine.size());
  for (const Place& p : few) EXPECT_NEAR(std::hypot(p.x_mm - 10, p.y_mm - 10), 5, 1e-9);
  EXPECT_NEAR(area_mm2(few), area_mm2(fine), 2 * 3.2 * 5 * 0.05);
  Line jagged = kSquare;
  jagged.insert(jagged.begin() + 1, Place{2, 0.01});
  EXPECT_EQ(simplified(jagged, 0.05), kSquare);
}

TEST(Decimal, HasItsPlacesAndAMinusThatIsOne) {
  EXPECT_EQ(decimal(0.8, 2), "0.80");
  EXPECT_EQ(decimal(-1.25, 1), "\u22121.2");
  EXPECT_EQ(decimal(-0.04, 1), "0.0");
  EXPECT_EQ(decimal(41.6, 0), "42");
}

}  // namespace
}  // namespace throughcure::draw
