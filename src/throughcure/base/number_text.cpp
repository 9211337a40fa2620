#include "throughcure/base/number_text.hpp"

#include <array>
#include <charconv>

namespace throughcure::base {

std::string number_text(double value) {
  std::array<char, 32> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value).ptr;
  return {text.data(), end};
}

std::optional<std::int64_t> whole_number(std::string_view text) {
  std::int64_t number = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), number);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size()) return std::nullopt;
  return number;
}

}  // namespace throughcure::base
