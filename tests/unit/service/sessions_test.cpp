#include "throughcure/service/sessions.hpp"

#include <set>

#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

constexpr Instant kStart{hours(1000)};

TEST(Token, IsLongAndNeverTheSame) {
  std::set<std::string> seen;
  for (int i = 0; i < 1000; ++i) seen.insert(random_token());
  EXPECT_EQ(seen.size(), 1000U);
  EXPECT_EQ(seen.begin()->size(), 32U);
}

TEST(Token, ComparesSecrets) {
  EXPECT_TRUE(same_secret("abc", "abc"));
  EXPECT_FALSE(same_secret("abc", "abd"));
  EXPECT_FALSE(same_secret("abc", "ab"));
}

TEST(Sessions, ALinkOpensOneSession) {
  Sessions sessions;
  const std::string token = sessions.invite("owner", kStart);
  const auto cookie = sessions.accept(token, kStart + minutes(9));
  ASSERT_TRUE(cookie);
  EXPECT_NE(*cookie, token);
  const auto session = sessions.find(*cookie, kStart + minutes(9));
  ASSERT_TRUE(session);
  EXPECT_EQ(session->person, "owner");
  EXPECT_EQ(session->page_token.size(), 32U);
  EXPECT_FALSE(sessions.accept(token, kStart + minutes(9))) << "a link works once";
  EXPECT_TRUE(sessions.find(*cookie, kStart + minutes(9))) << "trying it again harms nobody";
}

TEST(Sessions, ALinkGetsTooOld) {
  Sessions sessions;
  const std::string token = sessions.invite("owner", kStart);
  EXPECT_FALSE(sessions.accept(token, kStart + minutes(10)));
  EXPECT_FALSE(sessions.accept(token, kStart)) << "trying it too late used it up";
}

TEST(Sessions, GuessesOpenNothing) {
  Sessions sessions;
  const std::string token = sessions.invite("owner", kStart);
  EXPECT_FALSE(sessions.accept("", kStart));
  EXPECT_FALSE(sessions.accept(random_token(), kStart));
  EXPECT_FALSE(sessions.find("", kStart));
  EXPECT_FALSE(sessions.find(token, kStart)) << "a link's token is no cookie";
}

TEST(Sessions, ASessionEnds) {
  Sessions sessions;
  const std::string cookie = *sessions.accept(sessions.invite("owner", kStart), kStart);
  EXPECT_TRUE(sessions.find(cookie, kStart + hours(12) - seconds(1)));
  EXPECT_FALSE(sessions.find(cookie, kStart + hours(12)));
  const std::string other = *sessions.accept(sessions.invite("owner", kStart), kStart);
  sessions.close(other);
  EXPECT_FALSE(sessions.find(other, kStart));
}

TEST(Sessions, KeepNoMoreThanTheyMay) {
  SessionRules rules;
  rules.most_links = 2;
  Sessions sessions(rules);
  const std::string first = sessions.invite("owner", kStart);
  const std::string second = sessions.invite("owner", kStart + seconds(1));
  const std::string third = sessions.invite("owner", kStart + seconds(2));
  EXPECT_FALSE(sessions.accept(first, kStart + seconds(3))) << "the one that ends first gave way";
  EXPECT_TRUE(sessions.accept(second, kStart + seconds(3)));
  EXPECT_TRUE(sessions.accept(third, kStart + seconds(3)));
}

}  // namespace
}  // namespace throughcure::service
