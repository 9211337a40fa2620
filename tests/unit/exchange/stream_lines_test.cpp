#include "throughcure/exchange/stream_lines.hpp"

#include <sstream>

#include <gtest/gtest.h>

namespace throughcure::exchange {
namespace {

TEST(StreamLines, AreReadOneByOneWithinTheLimit) {
  std::istringstream in("one\n\n12345678\n123456789\nno end");
  StreamLines lines(in, 8);
  StreamLine line;
  ASSERT_TRUE(lines.next(line));
  EXPECT_EQ(line.text, "one");
  EXPECT_TRUE(line.ended);
  ASSERT_TRUE(lines.next(line));
  EXPECT_EQ(line.text, "");
  EXPECT_TRUE(line.ended);
  ASSERT_TRUE(lines.next(line));
  EXPECT_EQ(line.text, "12345678");
  EXPECT_FALSE(line.too_long);
  ASSERT_TRUE(lines.next(line));
  EXPECT_EQ(line.text, "12345678");
  EXPECT_TRUE(line.too_long);
  EXPECT_TRUE(line.ended);
  ASSERT_TRUE(lines.next(line));
  EXPECT_EQ(line.text, "no end");
  EXPECT_FALSE(line.ended);
  EXPECT_FALSE(line.too_long);
  EXPECT_FALSE(lines.next(line));
  EXPECT_EQ(lines.bytes(), 30U);
}

}  // namespace
}  // namespace throughcure::exchange
