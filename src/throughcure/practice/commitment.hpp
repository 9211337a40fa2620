// A value that the log does not show, and that nobody can change afterwards all the same.
#pragma once

#include <array>
#include <cstdint>
#include <string>

#include "throughcure/practice/digest.hpp"

namespace throughcure::practice {

using Salt = std::array<std::uint8_t, 32>;

/// Stands in the log for a private value: a chart number, a free text.
struct Commitment {
  Digest digest{};
  friend bool operator==(const Commitment&, const Commitment&) = default;
};

/// What shows the value behind a commitment. The practice keeps it beside its records and never exports it. Erased, the
/// log stays whole and the value cannot be found again.
struct Opening {
  Salt salt{};  ///< of random_salt(), for this value of this change alone: one used twice shows equal values as equal
  std::string value;
};

/// 256 random bits from the system. Throws base::Failure when it has none to give.
Salt random_salt();

/// SHA-256("throughcure private 1\n", salt, value).
///
/// Binding, as two openings of one commitment would be two texts with one SHA-256: the salt has a fixed length, so no
/// other salt and value give the same text. Hiding, as 256 random bits stand before the value: a chart number has some
/// six digits, and its bare hash would be found by trying them all. SHA-256 rather than BLAKE2b keyed with the salt
/// (which would hide and bind as well), because it is the hash of the tree: one assumption less, and whoever is handed
/// a salt and a value can check them with any tool there is (docs/audit.md). That SHA-256 can be carried on from its
/// result does no harm here: it is no seal with a secret key, and what is carried on has no salt that anybody knows.
/// The first byte of the label is neither 0x00 nor 0x01, so that no commitment is the hash of a leaf or a node.
Commitment commit(const Opening& opening);

/// Whether this salt and value are what was committed to: proof of what a redacted field said.
bool opens(const Commitment& commitment, const Opening& opening);

}  // namespace throughcure::practice
