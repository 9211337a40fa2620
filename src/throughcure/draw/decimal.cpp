#include "throughcure/draw/decimal.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string_view>

namespace throughcure::draw {

std::string decimal(double value, int places) {
  std::array<char, 64> text{};
  const auto end =
      std::to_chars(text.data(), text.data() + text.size(), std::abs(value), std::chars_format::fixed, places);
  const std::string_view digits(text.data(), static_cast<std::size_t>(end.ptr - text.data()));
  const bool nothing = std::ranges::all_of(digits, [](char c) { return c == '0' || c == '.'; });
  return (value < 0 && !nothing ? "\u2212" : "") + std::string(digits);
}

}  // namespace throughcure::draw
