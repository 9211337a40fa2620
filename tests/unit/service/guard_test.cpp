#include "throughcure/service/guard.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

Request with(std::vector<Header> headers) { return {Method::post, "/api/x", std::move(headers), ""}; }

/// One address over plain HTTP, as it is without --lan.
const Reach alone{.port = 8420};
/// Several hosts over TLS.
const Reach lan{.tls = true, .port = 8420, .hosts = {"192.168.1.5", "desk", "desk.local", "localhost"}};

TEST(Origin, IsThatOfTheFirstHost) {
  EXPECT_EQ(origin(alone), "http://127.0.0.1:8420");
  EXPECT_EQ(origin(lan), "https://192.168.1.5:8420");
  EXPECT_EQ(origin({.port = 80}), "http://127.0.0.1");
  EXPECT_EQ(origin({.port = 443}), "http://127.0.0.1:443");
  EXPECT_EQ(origin({.tls = true, .port = 443}), "https://127.0.0.1");
  EXPECT_EQ(origin({.tls = true, .port = 80}), "https://127.0.0.1:80");
}

TEST(Origin, IsTheOneThatWasAskedWhereALinkIsToLeadBack) {
  EXPECT_EQ(asked_origin(with({{"host", "127.0.0.1:8420"}}), alone), "http://127.0.0.1:8420");
  EXPECT_EQ(asked_origin(with({{"host", "DESK.local:8420"}}), lan), "https://desk.local:8420");
}

TEST(Host, MustBeTheVeryAddressAndPort) {
  EXPECT_TRUE(host_is_ours(with({{"host", "127.0.0.1:8420"}}), alone));
  EXPECT_TRUE(host_is_ours(with({{"host", "127.0.0.1"}}), {.port = 80}));
  for (const char* other : {"", "127.0.0.1", "127.0.0.1:8421", "localhost:8420", "attacker.example:8420",
                            "127.0.0.1:8420.attacker.example", "127.0.0.1:8420 ", "[::1]:8420"}) {
    EXPECT_FALSE(host_is_ours(with({{"host", other}}), alone)) << other;
  }
  EXPECT_FALSE(host_is_ours(with({}), alone));
  EXPECT_FALSE(host_is_ours(with({{"host", "127.0.0.1:8420"}, {"host", "127.0.0.1:8420"}}), alone))
      << "two hosts are none";
}

TEST(Host, MayBeAnyOfThoseThatWeAreReachedAtAndNoOther) {
  for (const char* ours : {"192.168.1.5:8420", "desk:8420", "DESK.local:8420", "localhost:8420"}) {
    EXPECT_TRUE(host_is_ours(with({{"host", ours}}), lan)) << ours;
  }
  // Another name that was made to point at our address (DNS rebinding), near misses, and an address that is not ours.
  for (const char* other : {"attacker.example:8420", "desk.attacker.example:8420", "desk.local.:8420", "desk",
                            "192.168.1.5", "192.168.1.6:8420", "127.0.0.1:8420", "192.168.1.5:443",
                            "desk:8420,desk:8420", "user@desk:8420", "0.0.0.0:8420", ":8420"}) {
    EXPECT_FALSE(host_is_ours(with({{"host", other}}), lan)) << other;
  }
}

class Change : public testing::Test {
 protected:
  std::optional<Session> session_ = Session{.page_token = "0123456789abcdef0123456789abcdef"};
  std::vector<Header> good_{{"origin", origin(alone)},
                            {std::string(kPageTokenHeader), "0123456789abcdef0123456789abcdef"}};

  [[nodiscard]] bool ours(std::vector<Header> headers, const Reach& reach = alone,
                          const std::string& host = "127.0.0.1:8420") const {
    headers.push_back({"host", host});
    return change_is_ours(with(std::move(headers)), reach, session_);
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
  EXPECT_FALSE(ours({{"origin", "https://127.0.0.1:8420"}, good_[1]})) << "another scheme";
  EXPECT_FALSE(ours({{"origin", "null"}, good_[1]}));
  EXPECT_FALSE(ours({good_[0], {good_[1].name, "0123456789abcdef0123456789abcdee"}}));
  good_.push_back({"sec-fetch-site", "cross-site"});
  EXPECT_FALSE(ours(good_));
}

TEST_F(Change, OverTlsComesFromTheHostThatItIsSentTo) {
  const Header token = good_[1];
  EXPECT_TRUE(ours({{"origin", "https://192.168.1.5:8420"}, token}, lan, "192.168.1.5:8420"));
  EXPECT_TRUE(ours({{"origin", "https://desk:8420"}, token}, lan, "Desk:8420"));
  EXPECT_FALSE(ours({{"origin", "http://desk:8420"}, token}, lan, "desk:8420")) << "a page that came over plain HTTP";
  EXPECT_FALSE(ours({{"origin", "https://desk:8420"}, token}, lan, "192.168.1.5:8420")) << "another of our hosts";
  EXPECT_FALSE(ours({{"origin", "https://attacker.example:8420"}, token}, lan, "attacker.example:8420"))
      << "its name was made to point here";
}

TEST(SessionCookie, IsForThisServerOnly) {
  EXPECT_EQ(session_cookie(alone, "abc", std::chrono::hours(1)),
            "throughcure_8420=abc; Path=/; Max-Age=3600; HttpOnly; SameSite=Strict");
}

TEST(SessionCookie, OverTlsIsNeverSentWithoutIt) {
  EXPECT_EQ(session_cookie(lan, "abc", std::chrono::hours(1)),
            "__Host-throughcure_8420=abc; Path=/; Max-Age=3600; HttpOnly; SameSite=Strict; Secure");
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
  EXPECT_EQ(value(plain, "strict-transport-security"), "")
      << "a browser that keeps it lets nobody in any more once a certificate of our own has changed";
  Response kept{200, {{"cache-control", "no-cache"}}, ""};
  harden(kept);
  EXPECT_EQ(value(kept, "cache-control"), "no-cache");
  EXPECT_EQ(std::count_if(kept.headers.begin(), kept.headers.end(),
                          [](const Header& header) { return header.name == "cache-control"; }),
            1);
}

}  // namespace
}  // namespace throughcure::service
