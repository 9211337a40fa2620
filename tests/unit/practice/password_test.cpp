#include "throughcure/practice/password.hpp"

#include <array>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include <argon2.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "throughcure/base/hex.hpp"
#include "throughcure/practice/guesses.hpp"

namespace throughcure::practice {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using testing::StartsWith;

/// As cheap as the library allows: what is tested is not how dear it is.
constexpr HashCost kCheap{.passes = 1, .memory_bytes = 8192};

// The oracle of the tests below first proves itself: RFC 9106, section 5.3 (standard), with 4 lanes, a key and
// associated data, which libsodium does not have.
TEST(ReferenceArgon2id, GivesThePublishedVector) {
  std::array<std::uint8_t, 32> tag{};
  std::array<std::uint8_t, 32> password{};
  std::array<std::uint8_t, 16> salt{};
  std::array<std::uint8_t, 8> key{};
  std::array<std::uint8_t, 12> associated{};
  password.fill(1);
  salt.fill(2);
  key.fill(3);
  associated.fill(4);
  argon2_context context{};
  context.out = tag.data();
  context.outlen = tag.size();
  context.pwd = password.data();
  context.pwdlen = password.size();
  context.salt = salt.data();
  context.saltlen = salt.size();
  context.secret = key.data();
  context.secretlen = key.size();
  context.ad = associated.data();
  context.adlen = associated.size();
  context.t_cost = 3;
  context.m_cost = 32;
  context.lanes = 4;
  context.threads = 1;
  context.version = ARGON2_VERSION_13;
  ASSERT_EQ(argon2id_ctx(&context), ARGON2_OK);
  EXPECT_EQ(base::hex(tag), "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659");
}

TEST(Secret, AtTheUsualCostIsWhatTheReferenceTakes) {
  const std::string secret = "four words that nobody guesses";
  const std::string hash = hash_secret(secret);
  EXPECT_THAT(hash, StartsWith("$argon2id$v=19$m=65536,t=3,p=1$"));
  EXPECT_EQ(argon2id_verify(hash.c_str(), secret.data(), secret.size()), ARGON2_OK);
  EXPECT_TRUE(secret_matches(hash, secret));
  EXPECT_FALSE(secret_matches(hash, secret + " "));
}

RC_GTEST_PROP(Secret, HashedHereIsWhatTheReferenceTakes, (const std::string& secret)) {
  const HashCost cost{.passes = *rc::gen::inRange(1U, 4U),
                      .memory_bytes = 1024 * *rc::gen::inRange<std::size_t>(8, 200)};
  const std::string hash = hash_secret(secret, cost);
  RC_ASSERT(argon2id_verify(hash.c_str(), secret.data(), secret.size()) == ARGON2_OK);
  RC_ASSERT(argon2id_verify(hash.c_str(), (secret + "x").data(), secret.size() + 1) == ARGON2_VERIFY_MISMATCH);
}

RC_GTEST_PROP(Secret, HashedByTheReferenceIsTakenHere, (const std::string& secret)) {
  std::array<std::uint8_t, 16> salt{};
  for (std::uint8_t& byte : salt) byte = *rc::gen::arbitrary<std::uint8_t>();
  std::array<char, 256> hash{};
  RC_ASSERT(argon2id_hash_encoded(*rc::gen::inRange(1U, 4U), *rc::gen::inRange(8U, 200U), 1, secret.data(),
                                  secret.size(), salt.data(), salt.size(), 32, hash.data(), hash.size()) == ARGON2_OK);
  RC_ASSERT(secret_matches(hash.data(), secret));
  RC_ASSERT(!secret_matches(hash.data(), secret + "x"));
}

TEST(Secret, HasANewSaltEachTime) { EXPECT_NE(hash_secret("the same", kCheap), hash_secret("the same", kCheap)); }

TEST(Secret, IsTakenWhole) {
  const std::string hash = hash_secret(std::string("a\0b", 3), kCheap);
  EXPECT_TRUE(secret_matches(hash, std::string("a\0b", 3)));
  EXPECT_FALSE(secret_matches(hash, "a"));
}

TEST(Secret, MatchesNothingThatIsNoHash) {
  const std::string hash = hash_secret("secret", kCheap);
  for (const std::string& broken :
       {std::string(), std::string("secret"), std::string("$argon2id$"), hash.substr(0, hash.size() - 2),
        hash + std::string("\0", 1), hash + std::string(300, 'x'), "x" + hash}) {
    EXPECT_FALSE(secret_matches(broken, "secret")) << broken;
    EXPECT_TRUE(needs_new_hash(broken, kCheap)) << broken;
  }
  EXPECT_FALSE(secret_matches(hash_of_no_secret(kCheap), ""));
}

TEST(Secret, IsHashedAnewWhenTheCostHasChanged) {
  const std::string hash = hash_secret("secret", kCheap);
  EXPECT_FALSE(needs_new_hash(hash, kCheap));
  EXPECT_TRUE(needs_new_hash(hash, kUsualCost));
  EXPECT_TRUE(needs_new_hash(hash, {.passes = 2, .memory_bytes = 8192}));
}

// More than the library takes at all (4 TiB), so that no system tries.
TEST(Secret, SaysWhenTheMemoryIsNotThere) {
  try {
    hash_secret("secret", {.passes = 1, .memory_bytes = std::size_t{8'000'000} << 20U});
    FAIL();
  } catch (const base::Failure& failure) {
    EXPECT_THAT(failure.what(), HasSubstr("8000000 MiB"));
  }
}

std::string said(const base::Problems& problems) {
  std::string out;
  for (const base::Problem& problem : problems) out += base::sentence(problem) + "\n";
  return out;
}

TEST(Password, OfSeveralWordsIsTaken) {
  for (const char* good :
       {"correct 4 lamp shade", "twelve chars", "Zähneputzen um acht", "ありがとうございます、先生"}) {
    EXPECT_THAT(password_problems(good, "lead"), IsEmpty()) << good << said(password_problems(good, "lead"));
  }
}

TEST(Password, IsCountedInCharacters) {
  EXPECT_THAT(said(password_problems("eleven char", "lead")),
              HasSubstr("it has 11 characters, and 12 are the fewest. Take a longer one"));
  EXPECT_THAT(said(password_problems("zwölf äöüß?", "lead")), HasSubstr("it has 11 characters"));
  std::string longest;
  for (int i = 0; i < 50; ++i) longest += "äöüß";
  EXPECT_THAT(password_problems(longest, "lead"), IsEmpty()) << "200 characters in 400 bytes";
  EXPECT_THAT(said(password_problems(longest + "x", "lead")), HasSubstr("it has 201 characters, and 200 are the most"));
}

TEST(Password, ThatIsNoTextIsRefused) {
  EXPECT_THAT(said(password_problems("twelve chars\xff", "lead")), HasSubstr("UTF-8"));
  EXPECT_THAT(said(password_problems("twelve chars\xed\xa0\x80", "lead")), HasSubstr("UTF-8")) << "a surrogate";
}

TEST(Password, ThatAnybodyTriesFirstIsRefused) {
  EXPECT_THAT(said(password_problems("Practice.Lead", "practice.lead")), HasSubstr("the name to sign in with"));
  for (const char* easy : {"aaaaaaaaaaaa", "abababababab", "123123123123", "1231231231231", "ßßßßßßßßßßßß"}) {
    EXPECT_THAT(said(password_problems(easy, "lead")), HasSubstr("over and over")) << easy;
  }
  for (const char* easy : {"abcdefghijkl", "123456789012", "ponmlkjihgfe", "210987654321"}) {
    EXPECT_THAT(said(password_problems(easy, "lead")), HasSubstr("neighbouring")) << easy;
  }
  EXPECT_THAT(password_problems("", ""), SizeIs(1)) << "only its length is spoken of";
}

// Published with the library: testcases.txt of zxcvbn-c, entropies in bits. The rest of that list either has fewer than
// 12 characters or differs by the list of common passwords that a version carries.
TEST(Password, StandsAsManyGuessesAsTheLibrarysOwnExamples) {
  for (const auto& [password, bits] : {std::pair{"qwER43@!", 26.44},
                                       {"D0g..................", 19.02},
                                       {"neverforget13/3/1997", 34.86},
                                       {"briansmith4mayor", 21.63},
                                       {"do you know", 25.51},
                                       {"defghi6789", 13.61},
                                       {"verlineVANDERMARK", 27.24},
                                       {"rWibMFACxAUGZmxhVncy", 111.0}}) {
    EXPECT_NEAR(guesses_bits(password), bits, 0.02) << password;
  }
}

// From the same list: below and above 10^10 guesses, or 33.22 bits.
TEST(Password, ThatIsGuessedSoonIsRefused) {
  for (const char* easy :
       {"D0g..................", "abcdefghijk987654321", "1qaz2wsx3edc", "briansmith4mayor", "ryanhunter2000",
        "rianhunter2000", "asdfghju7654rewq", "verlineVANDERMARK", "passpasswordword"}) {
    EXPECT_THAT(said(password_problems(easy, "lead")), HasSubstr("of several words that have nothing to do")) << easy;
  }
  for (const char* good :
       {"neverforget13/3/1997", "rWibMFACxAUGZmxhVncy", "correcthorsebatterystaple",
        "coRrecth0rseba++ery9.23.2007staple$", "Ba9ZyWABu99[BK#6MBgbH88Tofv)vs$w", "pass.word.pass.word.pass.word."}) {
    EXPECT_THAT(password_problems(good, "lead"), IsEmpty()) << good;
  }
}

// SP 800-63B, 5.1.1.2: "context-specific words, such as the name of the service, the username, and derivatives
// thereof".
TEST(Password, OfNamesThatOthersKnowIsRefused) {
  const std::vector<std::string> names = {"Dr. Amelie Quastenbrook", "Practice at the Weir-House"};
  for (const char* known : {"Quastenbrook1987", "quastenbr00k!!", "weirhousepractice", "Amelie.Quastenbrook",
                            "Throughcure-2026", "weirhouse.weirhouse", "aquastie.aquastie"}) {
    EXPECT_THAT(said(password_problems(known, "aquastie", names)), HasSubstr("it is guessed soon")) << known;
  }
  EXPECT_THAT(said(password_problems("Quastenbrook1987", "aquastie", names)), HasSubstr("whoever knows your name"));
  EXPECT_THAT(password_problems("Quastenbrook1987", "lead"), IsEmpty()) << "where nobody is called so";
  EXPECT_THAT(password_problems("Amelie hums nine brass kettles", "aquastie", names), IsEmpty())
      << "a name among enough other words";
}

TEST(Password, IsHeldAgainstTheWordsOfNames) {
  EXPECT_THAT(words_of({"Dr. Amelie Quastenbrook", "Zähne am Wehr", "anna", ""}),
              ElementsAre("amelie", "quastenbrook", "drameliequastenbrook", "zähne", "wehr", "zähneamwehr", "anna"));
}

RC_GTEST_PROP(Password, IsNeverSaidBack, ()) {
  const auto password = *rc::gen::nonEmpty(rc::gen::container<std::string>(rc::gen::inRange('!', '/')));
  const std::string marked = "<<" + password + ">>";
  RC_ASSERT(said(password_problems(marked, marked)).find(marked) == std::string::npos);
}

TEST(Pin, OfSixDigitsIsTaken) {
  for (const char* good : {"402917", "112358", "123465", "90210412"}) {
    EXPECT_THAT(pin_problems(good), IsEmpty()) << good;
  }
}

TEST(Pin, ThatIsShortOrEasyIsRefused) {
  EXPECT_THAT(said(pin_problems("40291")), HasSubstr("it has 5 digits, and 6 are the fewest"));
  EXPECT_THAT(said(pin_problems(std::string(13, '7') + std::string(52, '1'))), HasSubstr("64 are the most"));
  for (const char* other : {"40291x", "４０２９１７", "402 917", "-40291"}) {
    EXPECT_THAT(said(pin_problems(other)), HasSubstr("digits only")) << other;
  }
  for (const char* easy : {"777777", "121212", "123123", "1231231"}) {
    EXPECT_THAT(said(pin_problems(easy)), HasSubstr("over and over")) << easy;
  }
  for (const char* easy : {"123456", "654321", "567890", "789012", "109876"}) {
    EXPECT_THAT(said(pin_problems(easy)), HasSubstr("run of digits")) << easy;
  }
}

}  // namespace
}  // namespace throughcure::practice
