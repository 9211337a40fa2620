#include "throughcure/exchange/field_text.hpp"

#include <algorithm>

namespace throughcure::exchange {

std::string list_of(const std::vector<std::string_view>& words) {
  std::string all;
  for (const std::string_view word : words) all += (all.empty() ? "" : ", ") + std::string(word);
  return all;
}

std::string joined_field(std::string_view prefix, std::string_view path) {
  if (prefix.empty() || path.empty()) return std::string(prefix.empty() ? path : prefix);
  return std::string(prefix) + '.' + std::string(path);
}

std::string cut_short(std::string text, std::size_t most) {
  std::ranges::replace_if(text, [](unsigned char c) { return c < 0x20; }, ' ');
  if (text.size() <= most) return text;
  std::size_t end = most - 3;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return text.substr(0, end) + "...";
}

}  // namespace throughcure::exchange
