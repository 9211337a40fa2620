#include "throughcure/practice/commitment.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/any_change.hpp"
#include "support/invented_change.hpp"
#include "throughcure/base/hex.hpp"

namespace throughcure::practice {
namespace {

// Computed with Python's hashlib: sha256(b"throughcure private 1\n" + bytes(range(32)) + b"004711").
TEST(Commitment, IsTheHashOfLabelSaltAndValue) {
  EXPECT_EQ(base::hex(commit(test::invented_opening(0, "004711")).digest),
            "e996b1df7ec6899ba0d74363dc620c95c93bbf2672e03a734585cfb018436bd3");
}

TEST(Commitment, SaltAndValueProveWhatARedactedFieldSaid) {
  const Opening opening{random_salt(), "moved in the second press"};
  const Commitment kept = commit(opening);
  EXPECT_TRUE(opens(kept, opening));
  EXPECT_FALSE(opens(kept, {opening.salt, "moved in the first press"}));
  EXPECT_FALSE(opens(kept, {random_salt(), opening.value}));
}

RC_GTEST_PROP(Commitment, OpensForNothingElse, ()) {
  const Opening opening = test::invented_opening(*rc::gen::arbitrary<std::uint8_t>(), test::any_text(0, 9));
  Opening other = opening;
  if (*rc::gen::arbitrary<bool>()) {
    other.value = test::any_text(0, 9);
  } else {
    other.salt.at(*rc::gen::inRange<std::size_t>(0, 32)) ^= *rc::gen::arbitrary<std::uint8_t>();
  }
  RC_ASSERT(opens(commit(opening), opening));
  RC_ASSERT(opens(commit(opening), other) == (other.value == opening.value && other.salt == opening.salt));
}

TEST(Commitment, OfTheSameValueDiffersBySalt) {
  EXPECT_NE(random_salt(), random_salt());
  EXPECT_NE(commit({random_salt(), "004711"}), commit({random_salt(), "004711"}));
}

}  // namespace
}  // namespace throughcure::practice
