// Passwords and PINs: how they are kept, and which are too easy to guess.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"

namespace throughcure::practice {

/// What one hash costs whoever makes it, or guesses at it.
struct HashCost {
  unsigned passes = 3;                               ///< Argon2's t
  std::size_t memory_bytes = std::size_t{64} << 20;  ///< Argon2's m, here in bytes; 8192 at least
  friend bool operator==(const HashCost&, const HashCost&) = default;
};

/// The second recommended option of RFC 9106, section 4: t = 3 passes over m = 64 MiB, a salt of 128 bits and a tag of
/// 256 bits. It names p = 4 lanes; libsodium has p = 1 only, which asks the same memory and the same work of a guesser
/// and only takes us longer.
inline constexpr HashCost kUsualCost{};

/// The Argon2id hash of a password or PIN with a new random salt, as text: "$argon2id$v=19$m=65536,t=3,p=1$salt$tag".
/// PINs cost as much as passwords: the fewer there are to guess, the dearer a guess must be. Takes a tenth of a
/// second: for a job, not for an HTTP thread. Throws base::Failure when the system has no such memory to give.
std::string hash_secret(std::string_view secret, HashCost cost = kUsualCost);

/// Whether the hash is of this secret. False too for a text that is no hash, and when there is not the memory to tell.
/// Takes what the hash says that it costs.
bool secret_matches(std::string_view hash, std::string_view secret);

/// Whether the hash was made at another cost than this, or is none: make a new one once the secret is known again.
bool needs_new_hash(std::string_view hash, HashCost cost = kUsualCost);

/// A hash that no secret matches: for a sign-in name that nobody has, so that the answer takes as long as for another.
std::string hash_of_no_secret(HashCost cost = kUsualCost);

/// Fewest characters of a password, and most. NIST SP 800-63B, 5.1.1.2 asks for 8 at least and for 64 to be allowed;
/// ours are chosen here: 12, because it is all that stands before the records, and 200.
inline constexpr std::size_t kFewestPasswordCharacters = 12;
inline constexpr std::size_t kMostPasswordCharacters = 200;

/// Fewest digits of a PIN, and most. NIST SP 800-63B, 5.1.1.1 has 6 for one that is chosen at random; for one that
/// somebody chooses, 6 is common practice, no source. A PIN is for a device that has been let in already.
inline constexpr std::size_t kFewestPinDigits = 6;
inline constexpr std::size_t kMostPinDigits = 64;

/// Guesses that a new password must stand by the estimate of practice/guesses.hpp [bits]: 10^10, from where on the
/// README of zxcvbn's reference implementation speaks of "strong protection" against guessing from stolen hashes that
/// are slow to make, as ours are.
inline constexpr double kFewestGuessesBits = 33.22;

/// What speaks against a new password; empty when nothing does. It must be UTF-8 text of a fit length, not the sign-in
/// name (of either case), not a piece of one to three characters over and over, not a run as "abcdefghijkl", and stand
/// enough guesses by whoever knows common passwords, words, the sign-in name, and `names`: those of the person and of
/// the practice (SP 800-63B, 5.1.1.2 names all of these). Asks for no mixture of characters, as it says not to. No
/// sentence holds the password.
base::Problems password_problems(std::string_view password, std::string_view sign_in_name,
                                 const std::vector<std::string>& names = {});

/// The same of a new PIN: digits only, enough of them, not one to three over and over, not a run as 123456 or 987654.
base::Problems pin_problems(std::string_view pin);

}  // namespace throughcure::practice
