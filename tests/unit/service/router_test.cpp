#include "throughcure/service/router.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

using testing::ElementsAre;
using testing::Pair;

Router table() {
  const Handler none = [](const Call&, const Reply&) {};
  return Router({{Method::get, "/", Access::open, "", none},
                 {Method::get, "/lights/new", Access::open, "", none},
                 {Method::get, "/lights/{id}", Access::open, "", none},
                 {Method::del, "/lights/{id}", Access::open, "", none},
                 {Method::get, "/use/{token}", Access::open, "", none, false},
                 {Method::get, "/files/{path...}", Access::open, "", none}});
}

std::string matched(Method method, std::string_view path) {
  const Router router = table();
  const Match match = router.match(method, *parse_target(path));
  return match.route == nullptr ? "none" : match.route->pattern;
}

TEST(Router, FindsTheRoute) {
  EXPECT_EQ(matched(Method::get, "/"), "/");
  EXPECT_EQ(matched(Method::get, "/lights/new"), "/lights/new") << "the first that fits wins";
  EXPECT_EQ(matched(Method::get, "/lights/a"), "/lights/{id}");
  EXPECT_EQ(matched(Method::get, "/lights"), "none");
  EXPECT_EQ(matched(Method::get, "/lights/a/b"), "none");
}

TEST(Router, HandsOverWhatStoodInThePath) {
  const Router router = table();
  EXPECT_THAT(router.match(Method::get, *parse_target("/lights/a%20b")).parameters, ElementsAre(Pair("id", "a b")));
  EXPECT_THAT(router.match(Method::get, *parse_target("/files/a/b.js")).parameters,
              ElementsAre(Pair("path", "a/b.js")));
  EXPECT_THAT(router.match(Method::get, *parse_target("/files")).parameters, ElementsAre(Pair("path", "")));
}

TEST(Router, AnswersHeadWhereGetIsSafe) {
  EXPECT_EQ(matched(Method::head, "/lights/a"), "/lights/{id}");
  EXPECT_EQ(matched(Method::head, "/use/x"), "none");
}

TEST(Router, SaysWhichMethodsAPathHas) {
  const Router router = table();
  const Match match = router.match(Method::post, *parse_target("/lights/a"));
  EXPECT_EQ(match.route, nullptr);
  EXPECT_THAT(match.allowed, ElementsAre(Method::get, Method::del));
  EXPECT_TRUE(router.match(Method::get, *parse_target("/nothing")).allowed.empty());
}

}  // namespace
}  // namespace throughcure::service
