#include "throughcure/exchange/columns_text.hpp"

#include <algorithm>
#include <charconv>
#include <system_error>

namespace throughcure::exchange {

namespace {

constexpr std::size_t kLongestShown = 40;

}  // namespace

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(kBlanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

std::vector<TextLine> lines_of(std::string_view text) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  std::vector<TextLine> lines;
  int number = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    std::string_view line = text.substr(0, end);
    const std::size_t ending = text.substr(end).starts_with("\r\n") ? 2 : 1;
    text.remove_prefix(std::min(end + ending, text.size()));
    ++number;
    line = line.substr(0, line.find('#'));
    if (!trimmed(line).empty()) lines.push_back({number, line});
  }
  return lines;
}

std::optional<double> number_in(std::string_view field) {
  if (field.size() >= 2 && field.front() == '"' && field.back() == '"') field = field.substr(1, field.size() - 2);
  std::string text(trimmed(field));
  if (text.starts_with('+')) text.erase(0, 1);
  if (text.find('.') == std::string::npos) std::ranges::replace(text, ',', '.');
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

std::string shown(std::string_view field) {
  std::string text = "\"";
  for (const char c : field.substr(0, kLongestShown)) text += c >= ' ' && c <= '~' ? c : '?';
  return text + (field.size() > kLongestShown ? "...\"" : "\"");
}

}  // namespace throughcure::exchange
