#include "throughcure/base/hex.hpp"

#include <gtest/gtest.h>

namespace throughcure::base {
namespace {

TEST(Hex, ThereAndBack) {
  const std::array<std::uint8_t, 4> bytes{0x00, 0x0f, 0xa0, 0xff};
  EXPECT_EQ(hex(bytes), "000fa0ff");
  EXPECT_EQ(from_hex<4>("000fa0ff"), bytes);
  EXPECT_EQ(from_hex<4>("000FA0fF"), bytes);
  EXPECT_EQ(hex({}), "");
  EXPECT_TRUE(from_hex<0>(""));
}

TEST(Hex, NothingElseIsRead) {
  for (const char* text : {"", "000fa0f", "000fa0ff0", "000fa0ff00", "000fa0fg", " 00fa0ff", "0x0fa0ff", "00:fa0ff"}) {
    EXPECT_FALSE(from_hex<4>(text)) << text;
  }
}

}  // namespace
}  // namespace throughcure::base
