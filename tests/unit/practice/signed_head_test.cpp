#include "throughcure/practice/signed_head.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "throughcure/base/hex.hpp"

namespace throughcure::practice {
namespace {

constexpr std::string_view kSeed = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60";
const KeySeed seed = base::from_hex<32>(kSeed).value();

SignedHead some_head() { return signed_head(12, sha256({"root"}), {1'767'600'000'000'000}, SigningKey(seed)); }

// RFC 8032, section 7.1, test 1 (standard, from memory; recomputed with OpenSSL 3).
TEST(SigningKey, SignsAsThePublishedVectorSays) {
  const SigningKey key(seed);
  EXPECT_EQ(base::hex(key.public_key()), "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a");
  const Signature signature = key.sign("");
  EXPECT_EQ(base::hex(signature),
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
            "d25bf5f0595bbe24655141438e7a100b");
  EXPECT_TRUE(is_signature(signature, "", key.public_key()));
  EXPECT_FALSE(is_signature(signature, "x", key.public_key()));
}

// Computed with Python's struct and OpenSSL 3 by the description in signed_head.hpp.
TEST(SignedHead, HasTheSignatureOfItsDescription) {
  EXPECT_EQ(base::hex(some_head().signature),
            "32e72b4ddaf417b6184bfa123ab3fd0a237ab8f9e505ba77485eede149e0279d6d9a0c6bfe30711a0c409bb078622e9f"
            "94d9ba097837e3b6d510ec9bdde9560c");
}

TEST(SignedHead, IsCheckedAgainstTheKeyThatItNames) {
  EXPECT_TRUE(is_signed(some_head()));
  SignedHead other = some_head();
  other.head.key = SigningKey(random_key_seed()).public_key();
  EXPECT_FALSE(is_signed(other));
}

RC_GTEST_PROP(SignedHead, AnyBitTurnedBreaksIt, ()) {
  SignedHead head = some_head();
  const auto bit = static_cast<std::uint8_t>(1U << *rc::gen::inRange(0U, 8U));
  switch (*rc::gen::inRange(0, 5)) {
    case 0:
      head.head.size ^= std::uint64_t{1} << *rc::gen::inRange(0U, 64U);
      break;
    case 1:
      head.head.root.at(*rc::gen::inRange<std::size_t>(0, 32)) ^= bit;
      break;
    case 2:
      head.head.at.us ^= std::int64_t{1} << *rc::gen::inRange(0, 63);
      break;
    case 3:
      head.head.key.at(*rc::gen::inRange<std::size_t>(0, 32)) ^= bit;
      break;
    default:
      head.signature.at(*rc::gen::inRange<std::size_t>(0, 64)) ^= bit;
  }
  RC_ASSERT(!is_signed(head));
}

}  // namespace
}  // namespace throughcure::practice
