#include "throughcure/exchange/written_yes_no.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "throughcure/exchange/columns_text.hpp"

namespace throughcure::exchange {

std::optional<bool> read_yes_no(std::string_view text) {
  constexpr std::array<std::string_view, 12> yes = {"yes", "y",  "true", "t",    "1", "x",
                                                    "ok",  "on", "with", "done", "+", "\xE2\x9C\x93"};
  constexpr std::array<std::string_view, 10> no = {"no", "n", "false", "f", "0", "off", "without", "none", "not", "-"};
  text = trimmed(text);
  if (text.empty() || text.size() > 8) return std::nullopt;
  std::string lower(text);
  for (char& c : lower) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  if (std::ranges::find(yes, lower) != yes.end()) return true;
  if (std::ranges::find(no, lower) != no.end()) return false;
  return std::nullopt;
}

}  // namespace throughcure::exchange
