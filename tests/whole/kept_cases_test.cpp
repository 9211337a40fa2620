// Cases that are kept: one for each key, the least recently used given up first.
#include "throughcure/desk/kept_cases.hpp"

#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

TEST(KeptCases, OneForEachKeyAndTheLeastRecentlyUsedGoesFirst) {
  const plan::Case c = demo_case(demo_folder());
  desk::KeptCases cases(exchange::knowledge(), 2);
  const base::Running running{.threads = 2};
  const auto a = cases.of("a", c, running);
  ASSERT_NE(a->ground, nullptr);
  a->rays = demo_rays();
  const auto b = cases.of("b", c, running);
  EXPECT_NE(a, b);

  bool worked = false;
  const base::Running watched{.progress = [&](double, std::string_view) { worked = true; }};
  EXPECT_EQ(cases.of("a", c, watched), a);
  EXPECT_FALSE(worked) << "nothing is made ready again";
  EXPECT_EQ(a->rays.places.size(), demo_rays().places.size()) << "the rays are there still";

  const auto third = cases.of("c", c, running);
  EXPECT_EQ(cases.of("a", c, watched), a) << "used after b";
  EXPECT_FALSE(worked);
  EXPECT_NE(cases.of("b", c, running), b) << "given up, and made again";
}

}  // namespace
}  // namespace throughcure::tests
