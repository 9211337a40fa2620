#include "throughcure/base/base64.hpp"

#include <gtest/gtest.h>

namespace throughcure::base {
namespace {

// RFC 4648, section 10 (standard).
TEST(Base64, MatchesTheTestVectors) {
  EXPECT_EQ(base64(""), "");
  EXPECT_EQ(base64("f"), "Zg==");
  EXPECT_EQ(base64("fo"), "Zm8=");
  EXPECT_EQ(base64("foo"), "Zm9v");
  EXPECT_EQ(base64("foobar"), "Zm9vYmFy");
}

TEST(Base64, OfBytesThatAreNoText) { EXPECT_EQ(base64(std::string_view("\xfb\xff\xbf\0", 4)), "+/+/AA=="); }

}  // namespace
}  // namespace throughcure::base
