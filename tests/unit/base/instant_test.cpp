#include "throughcure/base/instant.hpp"

#include <array>
#include <utility>

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::base {
namespace {

// Seconds computed with Python's datetime and calendar.timegm.
TEST(Instant, IsWrittenAndReadBack) {
  const std::array<std::pair<std::int64_t, const char*>, 7> pairs{{
      {0, "1970-01-01T00:00:00.000000Z"},
      {1'767'600'000'000'000, "2026-01-05T08:00:00.000000Z"},
      {1'709'251'199'000'001, "2024-02-29T23:59:59.000001Z"},
      {-1, "1969-12-31T23:59:59.999999Z"},
      {951'782'400'123'456, "2000-02-29T00:00:00.123456Z"},
      {kEarliestInstant.us, "0001-01-01T00:00:00.000000Z"},
      {kLatestInstant.us, "9999-12-31T23:59:59.999999Z"},
  }};
  for (const auto& [us, text] : pairs) {
    EXPECT_EQ(instant_text({us}), text);
    const auto back = parse_instant(text);
    ASSERT_TRUE(back) << text;
    EXPECT_EQ(back->us, us) << text;
  }
}

TEST(Instant, NothingElseIsRead) {
  for (const char* text : {"",
                           "Z",
                           "2026-01-05",
                           "2026-01-05T08:00:00Z",
                           "2026-01-05T08:00:00.000Z",
                           "2026-01-05T08:00:00.000000",
                           "2026-01-05T08:00:00.000000+00:00",
                           "2026-01-05 08:00:00.000000Z",
                           "2026-01-05t08:00:00.000000z",
                           "2026-02-29T08:00:00.000000Z",
                           "2026-13-01T08:00:00.000000Z",
                           "2026-00-01T08:00:00.000000Z",
                           "2026-01-00T08:00:00.000000Z",
                           "2026-01-05T24:00:00.000000Z",
                           "2026-01-05T08:60:00.000000Z",
                           "2026-01-05T08:00:60.000000Z",
                           "0000-01-05T08:00:00.000000Z",
                           "2026-01-05T08:00:00.000000Z ",
                           "+026-01-05T08:00:00.000000Z",
                           "2026-1-005T08:00:00.000000Z"}) {
    EXPECT_FALSE(parse_instant(text)) << text;
  }
}

TEST(Instant, OutsideTheYearsItCannotBeWritten) {
  EXPECT_THROW((void)instant_text({kEarliestInstant.us - 1}), Failure);
  EXPECT_THROW((void)instant_text({kLatestInstant.us + 1}), Failure);
}

}  // namespace
}  // namespace throughcure::base
