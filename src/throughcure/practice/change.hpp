// One change to the practice's records, as the audit log has it: who, when, what, before, after.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/practice/commitment.hpp"

namespace throughcure::practice {

/// One field of a record. Plain text stands in the log for everybody to read; of a private value only the commitment
/// does, so that a change cannot give away what it does not hold. Numbers are whole, or decimal text.
struct Field {
  std::string name;
  std::variant<std::string, Commitment> value;
  friend bool operator==(const Field&, const Field&) = default;
};

/// In the order of their names' bytes, each name once.
using Fields = std::vector<Field>;

struct Change {
  std::uint64_t number = 0;  ///< counts from 1, without gaps; leaf number - 1 of the tree
  base::Instant at{};
  std::string person{};  ///< who: the person's id, never a name
  std::string kind{};    ///< what kind of record: "reading", "restoration"
  std::string record{};  ///< which one: its id, never a chart number
  Fields before{};       ///< the fields that changed, as they were; none for a new record
  Fields after{};        ///< as they are now; none for one that is gone
  friend bool operator==(const Change&, const Change&) = default;
};

inline constexpr std::size_t kMostNameBytes = 100;                      ///< of person, kind, record and a field's name
inline constexpr std::size_t kMostFields = 500;                         ///< on either side
inline constexpr std::size_t kMostLeafBytes = std::size_t{128} << 10U;  ///< of the whole change
inline constexpr std::uint64_t kMostChanges = 1ULL << 53U;              ///< a number that every reader of JSON can hold

/// The version of the leaf's encoding, at its beginning.
inline constexpr std::string_view kChangeVersion = "throughcure change 1\n";

/// What keeps a change from being written in the one way that there is: a number that is none, text that is not UTF-8,
/// names that are empty, too long or out of order, too much of anything. Empty when it is fit for the log.
base::Problems problems_with(const Change& change);

/// The change as the bytes of its leaf: two changes that differ in anything give other bytes. Throws base::InputError
/// with problems_with.
///
/// "throughcure change 1\n" (the version of this encoding), number, instant, person, kind, record, before, after.
/// Numbers are of 8 bytes, the highest first, the instant in two's complement; a text is its length (4 bytes, the
/// highest first) and its bytes; fields are their count (4 bytes) and each one's name, a byte, and its value: after 0 a
/// text, after 1 the 32 bytes of a commitment.
std::string leaf_bytes(const Change& change);

}  // namespace throughcure::practice
