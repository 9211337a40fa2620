#include "throughcure/service/sessions.hpp"

#include <set>

#include <gtest/gtest.h>

namespace throughcure::service {
namespace {

using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

constexpr Instant kStart = Instant{} + hours(1000);

practice::Member owner() {
  return {.account = {3}, .person = {4}, .name = "Ana", .role = practice::Role::kLead, .site = {1}, .everywhere = true};
}

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
  const std::string token = sessions.invite(owner(), kStart);
  const auto made = sessions.accept(token, kStart + minutes(9));
  ASSERT_TRUE(made);
  EXPECT_NE(made->cookie, token);
  const auto session = sessions.find(made->cookie, kStart + minutes(9));
  ASSERT_TRUE(session);
  EXPECT_EQ(session->person, "3");
  EXPECT_EQ(session->member.name, "Ana");
  EXPECT_EQ(session->page_token.size(), 32U);
  EXPECT_FALSE(sessions.accept(token, kStart + minutes(9))) << "a link works once";
  EXPECT_TRUE(sessions.find(made->cookie, kStart + minutes(9))) << "trying it again harms nobody";
}

TEST(Sessions, ALinkGetsTooOld) {
  Sessions sessions;
  const std::string token = sessions.invite(owner(), kStart);
  EXPECT_FALSE(sessions.accept(token, kStart + minutes(10)));
  EXPECT_FALSE(sessions.accept(token, kStart)) << "trying it too late used it up";
}

TEST(Sessions, GuessesOpenNothing) {
  Sessions sessions;
  const std::string token = sessions.invite(owner(), kStart);
  EXPECT_FALSE(sessions.accept("", kStart));
  EXPECT_FALSE(sessions.accept(random_token(), kStart));
  EXPECT_FALSE(sessions.find("", kStart));
  EXPECT_FALSE(sessions.find(token, kStart)) << "a link's token is no cookie";
}

TEST(Sessions, ASessionEnds) {
  Sessions sessions;
  const std::string cookie = sessions.accept(sessions.invite(owner(), kStart), kStart)->cookie;
  EXPECT_TRUE(sessions.find(cookie, kStart + hours(12) - seconds(1)));
  EXPECT_FALSE(sessions.find(cookie, kStart + hours(12)));
  const std::string other = sessions.accept(sessions.invite(owner(), kStart), kStart)->cookie;
  sessions.close(other);
  EXPECT_FALSE(sessions.find(other, kStart));
}

TEST(Sessions, APinServesNoLongerThanThePasswordBefore) {
  Sessions sessions;
  const NewSession full = sessions.open(owner(), {.shared = true}, kStart);
  EXPECT_EQ(full.session.pins_until, kStart + hours(12));
  const NewSession alone = sessions.open(owner(), {}, kStart);
  EXPECT_EQ(alone.session.pins_until, kStart) << "on a device of one's own no PIN serves";
  const NewSession by_pin =
      sessions.open(owner(), {.rests_on = base::AccountId{3}, .shared = true, .pins_until = full.session.pins_until},
                    kStart + hours(11));
  EXPECT_EQ(by_pin.session.ends, kStart + hours(12));
  EXPECT_TRUE(sessions.find(by_pin.cookie, kStart + hours(12) - seconds(1)));
  EXPECT_FALSE(sessions.find(by_pin.cookie, kStart + hours(12)));
}

TEST(Sessions, APinEndsWithTheFullSignInThatItRestsOn) {
  Sessions sessions;
  const auto by_pin = [&](std::int64_t full) {
    return sessions
        .open(owner(), {.rests_on = base::AccountId{full}, .shared = true, .pins_until = kStart + hours(12)}, kStart)
        .cookie;
  };
  const std::string on_seven = by_pin(7);
  const std::string on_eight = by_pin(8);
  sessions.close_all({7});
  EXPECT_FALSE(sessions.find(on_seven, kStart));
  EXPECT_TRUE(sessions.find(on_eight, kStart));
  sessions.close_all({3});
  EXPECT_FALSE(sessions.find(on_eight, kStart)) << "whose session it is";
}

TEST(Sessions, ComeBackAfterTheProgramWasStopped) {
  NewSession made;
  {
    Sessions before;
    made =
        before.open(owner(), {.rests_on = base::AccountId{7}, .shared = true, .pins_until = kStart + hours(3)}, kStart);
  }
  Sessions after;
  EXPECT_FALSE(after.find(made.cookie, kStart));
  after.take_in(made.kept, owner());
  const auto session = after.find(made.cookie, kStart);
  ASSERT_TRUE(session);
  EXPECT_EQ(session->page_token, made.session.page_token);
  EXPECT_TRUE(session->by_pin());
  EXPECT_EQ(session->rests_on, base::AccountId{7});
  EXPECT_TRUE(session->shared);
  EXPECT_EQ(session->ends, kStart + hours(3));
  EXPECT_FALSE(after.find(made.cookie, kStart + hours(3)));
}

TEST(Sessions, FollowWhatAPersonMayDo) {
  Sessions sessions;
  practice::Member other = owner();
  other.account = {9};
  const std::string own = sessions.open(owner(), {}, kStart).cookie;
  const std::string others = sessions.open(other, {}, kStart).cookie;
  practice::Member less = owner();
  less.role = practice::Role::kViewer;
  sessions.refresh(less);
  EXPECT_EQ(sessions.find(own, kStart)->member.role, practice::Role::kViewer);
  EXPECT_EQ(sessions.find(others, kStart)->member.role, practice::Role::kLead);
  sessions.close_all({3});
  EXPECT_FALSE(sessions.find(own, kStart));
  EXPECT_TRUE(sessions.find(others, kStart));
}

TEST(Sessions, KeepNoMoreThanTheyMay) {
  SessionRules rules;
  rules.most_links = 2;
  Sessions sessions(rules);
  const std::string first = sessions.invite(owner(), kStart);
  const std::string second = sessions.invite(owner(), kStart + seconds(1));
  const std::string third = sessions.invite(owner(), kStart + seconds(2));
  EXPECT_FALSE(sessions.accept(first, kStart + seconds(3))) << "the one that ends first gave way";
  EXPECT_TRUE(sessions.accept(second, kStart + seconds(3)));
  EXPECT_TRUE(sessions.accept(third, kStart + seconds(3)));
}

}  // namespace
}  // namespace throughcure::service
