#include "throughcure/service/attempts.hpp"

#include <algorithm>
#include <atomic>
#include <map>
#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::service {
namespace {

using std::chrono::hours;
using std::chrono::milliseconds;
using std::chrono::seconds;

constexpr Instant kStart = Instant{} + hours(1000);

/// Rules under which no address ever waits.
AttemptRules of_names_only() { return {.burst = 1'000'000, .pace = seconds(0)}; }

TEST(Attempts, FiveFailuresAreFreeThenTheWaitDoublesToAQuarterOfAnHour) {
  Attempts attempts(of_names_only());
  Instant now = kStart;
  for (int i = 0; i < 5; ++i) EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", now).granted());
  for (const int wait_s : {30, 60, 120, 240, 480, 900, 900}) {
    EXPECT_EQ(attempts.begin("lead", "10.0.0.9", now).wait, seconds(wait_s));
    EXPECT_EQ(attempts.begin("lead", "10.0.0.8", now).wait, seconds(wait_s))
        << "from anywhere, and asking adds nothing";
    EXPECT_EQ(attempts.begin("lead", "10.0.0.9", now + seconds(wait_s) - milliseconds(1)).wait, seconds(1));
    now += seconds(wait_s);
    EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", now).granted());
  }
  EXPECT_TRUE(attempts.begin("assistant", "10.0.0.9", now).granted()) << "another name does not wait";
}

// NIST SP 800-63B, 5.2.2 (standard).
TEST(Attempts, AHundredFailuresCloseAName) {
  Attempts attempts(of_names_only());
  Instant now = kStart;
  for (int i = 0; i < 100; ++i) {
    EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", now).granted()) << i;
    now += hours(1);
  }
  EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", now).closed);
  EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", now + hours(10'000)).closed);
  EXPECT_FALSE(attempts.begin("lead", "10.0.0.9", now).granted());
  attempts.clear("lead");
  EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", now).granted());
}

TEST(Attempts, SuccessClearsTheName) {
  Attempts attempts(of_names_only());
  for (int i = 0; i < 5; ++i) EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", kStart).granted());
  EXPECT_FALSE(attempts.begin("lead", "10.0.0.9", kStart).granted());
  attempts.clear("lead");
  attempts.clear("nobody");
  for (int i = 0; i < 5; ++i) EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", kStart).granted());
  EXPECT_FALSE(attempts.begin("lead", "10.0.0.9", kStart).granted());
}

TEST(Attempts, AnAddressHasTwentyAndOneMoreEverySixSeconds) {
  Attempts attempts;
  auto another = [n = 0]() mutable { return "name " + std::to_string(++n); };
  for (int i = 0; i < 20; ++i) EXPECT_TRUE(attempts.begin(another(), "10.0.0.9", kStart).granted()) << i;
  EXPECT_EQ(attempts.begin(another(), "10.0.0.9", kStart).wait, seconds(6));
  EXPECT_EQ(attempts.begin(another(), "10.0.0.9", kStart + milliseconds(5500)).wait, seconds(1));
  EXPECT_TRUE(attempts.begin(another(), "10.0.0.8", kStart).granted()) << "another address is another";
  EXPECT_TRUE(attempts.begin(another(), "10.0.0.9", kStart + seconds(6)).granted());
  EXPECT_FALSE(attempts.begin(another(), "10.0.0.9", kStart + seconds(6)).granted());
  for (int i = 0; i < 20; ++i) EXPECT_TRUE(attempts.begin(another(), "10.0.0.9", kStart + hours(1)).granted());
  EXPECT_FALSE(attempts.begin(another(), "10.0.0.9", kStart + hours(1)).granted()) << "no more than the burst gathers";
}

TEST(Attempts, AClockThatIsSetBackLocksNobodyOutForLong) {
  Attempts attempts;
  for (int i = 0; i < 6; ++i) attempts.begin("lead", "10.0.0.9", kStart + hours(24) + seconds(40 * i));
  EXPECT_EQ(attempts.begin("lead", "10.0.0.9", kStart).wait, seconds(60)) << "as after the last failure";
  EXPECT_TRUE(attempts.begin("lead", "10.0.0.9", kStart + seconds(60)).granted());
  auto another = [n = 0]() mutable { return "name " + std::to_string(++n); };
  for (int i = 0; i < 20; ++i) attempts.begin(another(), "10.0.0.8", kStart + hours(24));
  EXPECT_EQ(attempts.begin(another(), "10.0.0.8", kStart).wait, seconds(6));
}

TEST(Attempts, ManyAtOnceGainNothing) {
  Attempts attempts(of_names_only());
  std::atomic<int> granted = 0;
  std::vector<std::thread> threads;
  threads.reserve(8);
  for (int i = 0; i < 8; ++i) {
    threads.emplace_back([&] {
      for (int j = 0; j < 100; ++j) granted += attempts.begin("lead", "10.0.0.9", kStart).granted() ? 1 : 0;
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(granted, 5);
}

TEST(Attempts, RoomIsBounded) {
  Attempts attempts({.most_names = 50, .most_addresses = 30});
  for (int i = 0; i < 2000; ++i) {
    attempts.begin("name " + std::to_string(i), "address " + std::to_string(i), kStart + milliseconds(i));
  }
  EXPECT_EQ(attempts.names(), 50U);
  EXPECT_EQ(attempts.addresses(), 30U);
  attempts.begin("one more", "one more", kStart + hours(1));
  EXPECT_EQ(attempts.addresses(), 1U) << "what is full again is forgotten first";
}

TEST(Attempts, AFloodOfNamesForgetsNoneThatFailedMoreOften) {
  AttemptRules rules = of_names_only();
  rules.most_names = 50;
  Attempts attempts(rules);
  for (int i = 0; i < 5; ++i) attempts.begin("lead", "10.0.0.9", kStart);
  for (int round = 0; round < 4; ++round) {
    for (int i = 0; i < 1000; ++i) attempts.begin("name " + std::to_string(i), "10.0.0.9", kStart + seconds(1));
  }
  EXPECT_EQ(attempts.begin("lead", "10.0.0.9", kStart + seconds(1)).wait, seconds(29));
}

/// The rules once more, the slow way: from the list of all tries that were made.
class PlainAttempts {
 public:
  explicit PlainAttempts(AttemptRules rules) : rules_(rules) {}

  bool may(const std::string& name, const std::string& address, Instant now) {
    const std::vector<Instant>& failures = failures_[name];
    if (failures.size() >= rules_.most_failures) return false;
    if (failures.size() >= rules_.free_failures) {
      double wait_s = static_cast<double>(rules_.first_wait.count());
      for (std::size_t i = rules_.free_failures; i < failures.size(); ++i) wait_s *= 2;
      wait_s = std::min(wait_s, static_cast<double>(rules_.longest_wait.count()));
      if (std::chrono::duration<double>(now - failures.back()).count() < wait_s) return false;
    }
    // A bucket that drips: what is in it, followed from try to try.
    double in_bucket = rules_.burst;
    Instant last = kStart;
    for (const Instant at : tries_[address]) {
      in_bucket = refilled(in_bucket, at - last) - 1;
      last = at;
    }
    if (refilled(in_bucket, now - last) < 1 - 1e-9) return false;
    failures_[name].push_back(now);
    tries_[address].push_back(now);
    return true;
  }
  void clear(const std::string& name) { failures_.erase(name); }

 private:
  [[nodiscard]] double refilled(double in_bucket, Instant::duration time) const {
    return std::min<double>(rules_.burst, in_bucket + std::chrono::duration<double>(time) / rules_.pace);
  }
  AttemptRules rules_;
  std::map<std::string, std::vector<Instant>> failures_;
  std::map<std::string, std::vector<Instant>> tries_;
};

RC_GTEST_PROP(Attempts, AgreeWithTheListOfAllTries, ()) {
  const AttemptRules rules{.free_failures = *rc::gen::inRange(1U, 4U),
                           .first_wait = seconds(*rc::gen::inRange(1, 5)),
                           .longest_wait = seconds(*rc::gen::inRange(5, 40)),
                           .most_failures = *rc::gen::inRange(5U, 12U),
                           .burst = *rc::gen::inRange(1U, 6U),
                           .pace = seconds(*rc::gen::inRange(1, 4))};
  Attempts attempts(rules);
  PlainAttempts plain(rules);
  Instant now = kStart;
  for (int i = 0; i < 200; ++i) {
    now += milliseconds(*rc::gen::weightedOneOf<int>(
        {{3, rc::gen::just(0)}, {3, rc::gen::inRange(0, 2000)}, {1, rc::gen::inRange(0, 30'000)}}));
    const auto name = *rc::gen::element<std::string>("lead", "assistant", "nobody");
    const auto address = *rc::gen::element<std::string>("10.0.0.8", "10.0.0.9");
    const Admission answer = attempts.begin(name, address, now);
    RC_ASSERT(answer.granted() == plain.may(name, address, now));
    if (!answer.granted() && !answer.closed && *rc::gen::arbitrary<bool>()) {
      // What it says is true: later it is granted, a second sooner it is not.
      RC_ASSERT(!attempts.begin(name, address, now + answer.wait - seconds(1)).granted());
      now += answer.wait;
      RC_ASSERT(attempts.begin(name, address, now).granted());
      RC_ASSERT(plain.may(name, address, now));
    }
    if (*rc::gen::inRange(0, 10) == 0) {
      attempts.clear(name);
      plain.clear(name);
    }
  }
}

}  // namespace
}  // namespace throughcure::service
