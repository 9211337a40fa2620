#include "throughcure/service/target.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::Pair;

TEST(Target, TakesPathAndQueryApart) {
  const auto target = parse_target("/lights/ward%20lamp/?unit=mm&name=a+b%26c&flag");
  ASSERT_TRUE(target);
  EXPECT_THAT(target->segments, ElementsAre("lights", "ward lamp"));
  EXPECT_THAT(target->query, ElementsAre(Pair("unit", "mm"), Pair("name", "a b&c"), Pair("flag", "")));
}

TEST(Target, RootHasNoSegments) {
  const auto target = parse_target("/");
  ASSERT_TRUE(target);
  EXPECT_THAT(target->segments, IsEmpty());
}

TEST(Target, KeepsPlusInAPath) { EXPECT_THAT(parse_target("/a+b")->segments, ElementsAre("a+b")); }

class BadTarget : public testing::TestWithParam<std::string> {};

TEST_P(BadTarget, IsRefused) { EXPECT_FALSE(parse_target(GetParam())) << GetParam(); }

INSTANTIATE_TEST_SUITE_P(All, BadTarget,
                         testing::Values("", "lights", "http://127.0.0.1/", "*", "/..", "/../etc/passwd", "/a/../b",
                                         "/a/./b", "/%2e%2e/x", "/%2E./x", "/a%2fb", "/a%5Cb", "/a\\b", "//a", "/a//b",
                                         "/%00", "/a%0d%0aSet-Cookie:x", "/%", "/%4", "/%zz", "/?a=%00", "/?a=%1"));

TEST(CookieValue, IsFoundAmongOthers) {
  EXPECT_EQ(cookie_value("a=1; throughcure_1=x=y ;b=2", "throughcure_1"), "x=y");
  EXPECT_EQ(cookie_value("a=", "a"), "");
}

TEST(CookieValue, IsNotGuessedAt) {
  EXPECT_FALSE(cookie_value("", "a"));
  EXPECT_FALSE(cookie_value("b=1; aa=2; a", "a"));
  EXPECT_FALSE(cookie_value("a=1; a=2", "a")) << "one of two may be somebody else's";
}

}  // namespace
}  // namespace throughcure::service
