// Times by a site's clock. Outside source: the European Union's summer time in 2026 (directive 2000/84/EC: the last
// Sundays of March and October, at 01:00 UTC), as the system's time zones have it.
#include "throughcure/desk/local_day.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace throughcure::desk {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

constexpr const char* kLisbon = "Europe/Lisbon";
constexpr std::int64_t kMinute = 60'000'000;
constexpr LocalDay k2026 = 20'454;         // 2026-01-01
constexpr LocalDay kForward = k2026 + 87;  // 29 March
constexpr LocalDay kBack = k2026 + 297;    // 25 October

base::Instant utc(std::string_view text) { return base::parse_instant(text).value_or(base::Instant{}); }

TEST(LocalMoment, IsOneInstantOrNoneOrTwo) {
  EXPECT_EQ(day_text(kForward), "2026-03-29");
  EXPECT_EQ(day_text(kBack), "2026-10-25");
  EXPECT_THAT(local_moment(k2026, 495 * kMinute, kLisbon).at, ElementsAre(utc("2026-01-01T08:15:00.000000Z")));
  EXPECT_THAT(local_moment(kForward, 495 * kMinute, kLisbon).at, ElementsAre(utc("2026-03-29T07:15:00.000000Z")));
  EXPECT_THAT(local_moment(kForward, 90 * kMinute, kLisbon).at, IsEmpty()) << "01:30 is skipped";
  EXPECT_THAT(local_moment(kBack, 90 * kMinute, kLisbon).at,
              ElementsAre(utc("2026-10-25T00:30:00.000000Z"), utc("2026-10-25T01:30:00.000000Z")));
}

RC_GTEST_PROP(LocalMoment, EveryInstantIsOneOfThoseThatItsClockShows, ()) {
  const auto zone = *rc::gen::element<std::string>("Europe/Lisbon", "America/New_York", "Australia/Lord_Howe", "UTC");
  const base::Instant at{*rc::gen::inRange<std::int64_t>(631'152'000, 2'000'000'000) * 1'000'000};
  const LocalDay day = local_day(at, zone);
  const std::string shown = local_text(at, zone);
  const std::int64_t minutes = std::stoll(shown.substr(11, 2)) * 60 + std::stoll(shown.substr(14, 2));
  const std::int64_t seconds = at.us / 1'000'000 % 60;
  const auto found = local_moment(day, minutes * kMinute + seconds * 1'000'000, zone).at;
  RC_ASSERT(std::ranges::find(found, at) != found.end());
}

}  // namespace
}  // namespace throughcure::desk
