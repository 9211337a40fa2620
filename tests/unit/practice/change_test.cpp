#include "throughcure/practice/change.hpp"

#include <functional>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/any_change.hpp"
#include "support/invented_change.hpp"
#include "throughcure/base/hex.hpp"

namespace throughcure::practice {
namespace {

/// Reads the bytes of a leaf as change.hpp describes them, to see that nothing of a change is lost in them.
class LeafReader {
 public:
  explicit LeafReader(std::string_view bytes) : bytes_(bytes) {}
  Change change() {
    EXPECT_EQ(take(21), "throughcure change 1\n");
    Change c;
    c.number = number(8);
    c.at.us = static_cast<std::int64_t>(number(8));
    c.person = text();
    c.kind = text();
    c.record = text();
    c.before = fields();
    c.after = fields();
    EXPECT_TRUE(bytes_.empty());
    return c;
  }

 private:
  std::string_view take(std::size_t count) {
    const std::string_view out = bytes_.substr(0, count);
    EXPECT_EQ(out.size(), count);
    bytes_.remove_prefix(out.size());
    return out;
  }
  std::uint64_t number(std::size_t bytes) {
    std::uint64_t out = 0;
    for (const char c : take(bytes)) out = 256 * out + static_cast<unsigned char>(c);
    return out;
  }
  std::string text() { return std::string(take(number(4))); }
  Fields fields() {
    Fields out(number(4));
    for (Field& field : out) {
      field.name = text();
      if (number(1) == 0) {
        field.value = text();
      } else {
        Commitment commitment;
        for (std::uint8_t& byte : commitment.digest) byte = static_cast<std::uint8_t>(number(1));
        field.value = commitment;
      }
    }
    return out;
  }
  std::string_view bytes_;
};

// Computed with Python's struct and hashlib by the description in change.hpp.
TEST(Change, HasTheBytesOfItsDescription) {
  const Change change{.number = 3,
                      .at = {1'767'600'000'000'001},
                      .person = "p2",
                      .kind = "reading",
                      .record = "r7",
                      .before = {{"chart", commit(test::invented_opening(0, "004711"))}, {"mw_cm2", "1010"}},
                      .after = {{"mw_cm2", "985"}}};
  EXPECT_EQ(base::hex(sha256({leaf_bytes(change)})),
            "72431aded2be09c61077ddd10cb7d52c1a174fd066e2f00e04efa19da2b576d1");
  EXPECT_EQ(leaf_bytes(change).size(), 147U);
}

TEST(Change, OfBeforeTheEpochHasABytePatternToo) {
  Change change = test::invented_change(1);
  change.at = {-1};
  EXPECT_EQ(LeafReader(leaf_bytes(change)).change(), change);
}

RC_GTEST_PROP(Change, NothingOfItIsLostInItsBytes, ()) {
  const Change change = test::any_change();
  RC_ASSERT(problems_with(change).empty());
  RC_ASSERT(LeafReader(leaf_bytes(change)).change() == change);
}

TEST(Change, AMoveFromFieldToFieldIsSeen) {
  // Texts that read the same when put together.
  Change a = test::invented_change(1);
  Change b = a;
  a.person = "p12";
  a.kind = "3light";
  b.person = "p1";
  b.kind = "23light";
  EXPECT_NE(leaf_bytes(a), leaf_bytes(b));
  b = a;
  std::swap(b.before, b.after);
  EXPECT_NE(leaf_bytes(a), leaf_bytes(b));
}

TEST(Change, ThatCannotBeWrittenIsRefused) {
  using Spoil = std::function<void(Change&)>;
  const std::vector<std::pair<std::string, Spoil>> cases{
      {"change: 0 is no number", [](Change& c) { c.number = 0; }},
      {"change: ", [](Change& c) { c.number = kMostChanges + 1; }},
      {"at: ", [](Change& c) { c.at.us = base::kLatestInstant.us + 1; }},
      {"person: it is empty", [](Change& c) { c.person.clear(); }},
      {"kind: 101 bytes", [](Change& c) { c.kind.assign(kMostNameBytes + 1, 'k'); }},
      {"record: it is no text", [](Change& c) { c.record = "\xFF"; }},
      {"after[2]: its name does not come after", [](Change& c) { std::swap(c.after[0], c.after[1]); }},
      {"after[2]: its name does not come after", [](Change& c) { c.after[1].name = c.after[0].name; }},
      {"after[1]: it is empty", [](Change& c) { c.after[0].name.clear(); }},
      {"after[2]: it is no text", [](Change& c) { c.after[1].value = "\xC3"; }},
      {"before: 501 fields", [](Change& c) { c.before.assign(kMostFields + 1, {"a", "b"}); }},
      {"bytes is more than the 131072 allowed", [](Change& c) { c.after[1].value = std::string(kMostLeafBytes, 'a'); }},
  };
  for (const auto& [what, spoil] : cases) {
    Change change = test::invented_change(1);
    spoil(change);
    const base::Problems problems = problems_with(change);
    ASSERT_FALSE(problems.empty()) << what;
    EXPECT_THAT(base::sentence(problems[0]), testing::HasSubstr(what));
    EXPECT_THROW((void)leaf_bytes(change), base::InputError) << what;
  }
}

}  // namespace
}  // namespace throughcure::practice
