// What a check came to.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

#include "throughcure/base/record.hpp"

namespace throughcure::fleet {

enum class CheckVerdict : std::uint8_t {
  kGood,
  kFirst,   ///< a baseline begins
  kLow,     ///< above the limit: the light is watched
  kHigh,    ///< much light: heat, short exposures
  kAgain,   ///< to be taken once more
  kFailed,  ///< confirmed
  kNoted,   ///< counts for nothing by its purpose: before cleaning, at a low battery
};

}  // namespace throughcure::fleet

template <>
struct throughcure::base::Words<throughcure::fleet::CheckVerdict> {
  static constexpr std::array<std::string_view, 7> words = {"good", "first", "low", "high", "again", "failed", "noted"};
};
