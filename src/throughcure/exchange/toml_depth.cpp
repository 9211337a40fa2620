#include "throughcure/exchange/toml_depth.hpp"

#include <algorithm>

namespace throughcure::exchange {

namespace {

/// The place after the string in quotes that begins at `at`.
std::size_t after_string(std::string_view toml, std::size_t at) {
  const char quote = toml[at];
  const auto run_at = [&](std::size_t from) {
    const std::size_t end = std::min(toml.find_first_not_of(quote, from), toml.size());
    return end - from;
  };
  const std::size_t opening = run_at(at);
  if (opening == 2 || opening >= 6) return at + opening;  // empty, on one line or on several
  const bool several_lines = opening >= 3;
  for (std::size_t i = at + (several_lines ? 3 : 1); i < toml.size();) {
    if (toml[i] == '\\' && quote == '"') {
      i += 2;
    } else if (toml[i] == quote) {
      const std::size_t run = run_at(i);
      if (!several_lines) return i + 1;
      if (run >= 3) return i + std::min<std::size_t>(run, 5);  // up to two quotes may end the text itself
      i += run;
    } else if (toml[i] == '\n' && !several_lines) {
      return i;  // it is wrong there
    } else {
      ++i;
    }
  }
  return toml.size();
}

}  // namespace

std::size_t most_dots_of_a_key(std::string_view toml) {
  constexpr std::string_view kEnds = "=,{}\n";
  std::size_t most = 0;
  std::size_t dots = 0;
  for (std::size_t i = 0; i < toml.size();) {
    const char c = toml[i];
    if (c == '"' || c == '\'') {
      i = after_string(toml, i);
      continue;
    }
    if (c == '#') {
      i = std::min(toml.find('\n', i), toml.size());
      continue;
    }
    if (c == '.') most = std::max(most, ++dots);
    if (kEnds.find(c) != std::string_view::npos) dots = 0;
    ++i;
  }
  return most;
}

}  // namespace throughcure::exchange
