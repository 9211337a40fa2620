// A number that is not arithmetic: what it is worth and where it comes from travel with it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::base {

/// What a number is worth.
enum class Kind : std::uint8_t {
  kPublished,       ///< seen in the source's own text or abstract
  kStandard,        ///< a standard says so
  kDerived,         ///< arithmetic on numbers whose sources are named
  kCommonPractice,  ///< habit of the trade, without a source
  kFromMemory,      ///< not yet confirmed: never a pass or fail number
  kInvented,        ///< for the demo only
};

/// "published", "from memory", ...: the word in files and on screen.
constexpr std::string_view word(Kind kind) {
  switch (kind) {
    case Kind::kPublished:
      return "published";
    case Kind::kStandard:
      return "standard";
    case Kind::kDerived:
      return "derived";
    case Kind::kCommonPractice:
      return "common practice";
    case Kind::kFromMemory:
      return "from memory";
    case Kind::kInvented:
      return "invented";
  }
  return "";
}

/// Whether a number of this kind is nothing without a named source.
constexpr bool needs_source(Kind kind) {
  return kind == Kind::kPublished || kind == Kind::kStandard || kind == Kind::kDerived;
}

/// What a number or a whole statement is worth, and where it comes from.
struct Provenance {
  Kind kind = Kind::kInvented;
  std::string source{};
};

/// A value with its range and its provenance. `low` <= `value` <= `high` where they are given; `sd` >= 0.
struct Sourced {
  double value = 0;
  std::optional<double> low{};
  std::optional<double> high{};
  std::optional<double> sd{};
  std::string unit{"1"};  ///< "1" for a pure number
  Kind kind = Kind::kInvented;
  std::string source{};
  std::string note{};
};

}  // namespace throughcure::base
