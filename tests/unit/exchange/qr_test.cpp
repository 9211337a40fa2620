// A square says what it was made of: read back in the tests of prints by zbar. Sizes: ISO/IEC 18004, from memory.
#include "throughcure/exchange/qr.hpp"

#include <string>

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {
namespace {

TEST(Qr, AnAddressTakesAFewDozenModules) {
  const QrSymbol symbol = qr_symbol("https://192.168.1.20:8420/check?light=12");
  EXPECT_EQ((symbol.side - 21) % 4, 0U) << "21, 25, 29, ...";
  EXPECT_LE(symbol.side, 33U);
  ASSERT_EQ(symbol.dark.size(), symbol.side * symbol.side);
  // The finder in the top left corner: seven dark, then a light ring.
  for (std::size_t i = 0; i < 7; ++i) EXPECT_TRUE(symbol.dark[i]);
  EXPECT_FALSE(symbol.dark[7]);
  EXPECT_FALSE(symbol.dark[symbol.side + 1]);
}

TEST(Qr, WhatDoesNotFitIsRefused) {
  EXPECT_NO_THROW(qr_symbol(std::string(1663, 'a')));
  EXPECT_THROW(qr_symbol(std::string(1664, 'a')), base::Failure);
  EXPECT_THROW(qr_symbol(""), base::Failure);
}

}  // namespace
}  // namespace throughcure::exchange
