#include "throughcure/base/number_text.hpp"

#include <array>
#include <charconv>

namespace throughcure::base {

std::string number_text(double value) {
  std::array<char, 32> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value).ptr;
  return {text.data(), end};
}

}  // namespace throughcure::base
