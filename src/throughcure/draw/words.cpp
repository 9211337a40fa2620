#include "throughcure/draw/words.hpp"

#include <algorithm>
#include <cctype>

namespace throughcure::draw {

namespace {

std::size_t letters_of(std::string_view text) {
  // In UTF-8 every letter has one byte that does not begin with the bits 10.
  return static_cast<std::size_t>(
      std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

bool ends_in_number(std::string_view text) {
  if (text.ends_with(')')) text.remove_suffix(1);
  return !text.empty() && std::isdigit(static_cast<unsigned char>(text.back())) != 0;
}

}  // namespace

std::vector<std::string> broken(std::string_view text, std::size_t letters) {
  // First the pieces that stay together, then lines of them.
  std::vector<std::string> pieces;
  while (!text.empty()) {
    const std::size_t space = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, space);
    text.remove_prefix(std::min(space + 1, text.size()));
    if (word.empty()) continue;
    if (!pieces.empty() && ends_in_number(pieces.back())) {
      pieces.back().append(" ").append(word);
    } else {
      pieces.emplace_back(word);
    }
  }
  std::vector<std::string> lines;
  for (const std::string& piece : pieces) {
    if (!lines.empty() && letters_of(lines.back()) + 1 + letters_of(piece) <= letters) {
      lines.back().append(" ").append(piece);
    } else {
      lines.push_back(piece);
    }
  }
  return lines;
}

}  // namespace throughcure::draw
