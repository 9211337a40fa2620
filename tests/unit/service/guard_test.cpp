#include "throughcure/service/guard.hpp"

#include <algorithm>

#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

Request with(std::vector<Header> headers) { return {Method::post, "/api/x", std::move(headers), ""}; }

TEST(Host, MustBeTheVeryAddressAndPort) {
  const std::string here = authority("127.0.0.1", 8420);
  EXPECT_TRUE(host_is_ours(with({{"host", "127.0.0.1:8420"}}), here));
  EXPECT_TRUE(host_is_ours(with({{"host", "127.0.0.1"}}), authority("127.0.0.1", 80)));
  for (const char* other : {"", "127.0.0.1", "127.0.0.1:8421", "localhost:8420", "attacker.example:8420",
                            "127.0.0.1:8420.attacker.example", "127.0.0.1:8420 ", "[::1]:8420"}) {
    EXPECT_FALSE(host_is_ours(with({{"host", other}}), here)) << other;
  }
  EXPECT_FALSE(host_is_ours(with({}), here));
  EXPECT_FALSE(host_is_ours(with({{"host", here}, {"host", here}}), here)) << "two hosts are none";
}

class Change : public testing::Test {
 protected:
  std::optional<Session> session_ = Session{.page_token = "0123456789abcdef0123456789abcdef"};
  std::string origin_ = origin("127.0.0.1", 8420);
  std::vector<Header> good_{{"origin", origin_}, {std::string(kPageTokenHeader), "0123456789abcdef0123456789abcdef"}};

  [[nodiscard]] bool ours(const std::vector<Header>& headers) const {
    return change_is_ours(with(headers), origin_, session_);
  }
};

TEST_F(Change, FromOurPageIsTaken) {
  EXPECT_TRUE(ours(good_));
  good_.push_back({"sec-fetch-site", "same-origin"});
  EXPECT_TRUE(ours(good_));
}

TEST_F(Change, FromElsewhereIsRefused) {
  EXPECT_FALSE(ours({good_[1]})) << "no origin";
  EXPECT_FALSE(ours({good_[0]})) << "no token";
  EXPECT_FALSE(ours({{"origin", "http://127.0.0.1:9000"}, good_[1]})) << "another port";
  EXPECT_FALSE(ours({{"origin", "null"}, good_[1]}));
  EXPECT_FALSE(ours({good_[0], {good_[1].name, "0123456789abcdef0123456789abcdee"}}));
  good_.push_back({"sec-fetch-site", "cross-site"});
  EXPECT_FALSE(ours(good_));
}

TEST(SessionCookie, IsForThisServerOnly) {
  EXPECT_EQ(session_cookie(8420, "abc", std::chrono::hours(1)),
            "throughcure_8420=abc; Path=/; Max-Age=3600; HttpOnly; SameSite=Strict");
}

TEST(Harden, AddsTheHeadersAndKeepsAChosenCacheRule) {
  const auto value = [](const Response& response, std::string_view name) -> std::string {
    const auto at = std::find_if(response.headers.begin(), response.headers.end(),
                                 [name](const Header& header) { return header.name == name; });
    return at == response.headers.end() ? "" : at->value;
  };
  Response plain;
  harden(plain);
  EXPECT_EQ(value(plain, "cache-control"), "no-store");
  EXPECT_EQ(value(plain, "x-content-type-options"), "nosniff");
  EXPECT_EQ(value(plain, "referrer-policy"), "no-referrer");
  const std::string policy = value(plain, "content-security-policy");
  EXPECT_NE(policy.find("default-src 'none'"), std::string::npos);
  EXPECT_NE(policy.find("frame-ancestors 'none'"), std::string::npos);
  EXPECT_EQ(policy.find("unsafe"), std::string::npos);
  EXPECT_EQ(policy.find("http"), std::string::npos) << "nothing from elsewhere";
  Response kept{200, {{"cache-control", "no-cache"}}, ""};
  harden(kept);
  EXPECT_EQ(value(kept, "cache-control"), "no-cache");
  EXPECT_EQ(std::count_if(kept.headers.begin(), kept.headers.end(),
                          [](const Header& header) { return header.name == "cache-control"; }),
            1);
}

}  // namespace
}  // namespace throughcure::service
