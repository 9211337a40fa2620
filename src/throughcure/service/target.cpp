#include "throughcure/service/target.hpp"

#include <algorithm>

namespace throughcure::service {

namespace {

/// The value of one hexadecimal digit, or -1.
int hex_value(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

bool is_control(char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }

/// Percent-decodes; nothing when a percent sign is broken or a control character comes out.
std::optional<std::string> decode(std::string_view text, bool plus_is_space) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    char c = text[i];
    if (c == '%') {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = hex_value(text[i + 1]);
      const int low = hex_value(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      c = static_cast<char>(high * 16 + low);
      i += 2;
    } else if (c == '+' && plus_is_space) {
      c = ' ';
    }
    if (is_control(c)) return std::nullopt;
    out.push_back(c);
  }
  return out;
}

/// Cuts the text before the first `separator` off `rest` and returns it; all of it when there is none.
std::string_view cut(std::string_view& rest, char separator) {
  const std::size_t at = rest.find(separator);
  const std::string_view head = rest.substr(0, at);
  rest = at == std::string_view::npos ? std::string_view{} : rest.substr(at + 1);
  return head;
}

bool stays_in_folder(const std::string& segment) {
  return !segment.empty() && segment != "." && segment != ".." && segment.find_first_of("/\\") == std::string::npos;
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

}  // namespace

std::optional<Target> parse_target(std::string_view target) {
  if (target.empty() || target.front() != '/') return std::nullopt;
  Target out;
  std::string_view query = target.substr(1);
  std::string_view path = cut(query, '?');
  while (!path.empty()) {
    auto segment = decode(cut(path, '/'), false);
    if (!segment || !stays_in_folder(*segment)) return std::nullopt;
    out.segments.push_back(std::move(*segment));
  }
  while (!query.empty()) {
    std::string_view value = cut(query, '&');
    if (value.empty()) continue;
    auto name = decode(cut(value, '='), true);
    auto decoded = decode(value, true);
    if (!name || !decoded) return std::nullopt;
    out.query.emplace_back(std::move(*name), std::move(*decoded));
  }
  return out;
}

std::optional<std::string> percent_decoded(std::string_view text) { return decode(text, false); }

std::optional<std::string_view> cookie_value(std::string_view cookie_header, std::string_view name) {
  std::optional<std::string_view> found;
  while (!cookie_header.empty()) {
    std::string_view value = cut(cookie_header, ';');
    if (value.find('=') == std::string_view::npos || trimmed(cut(value, '=')) != name) continue;
    if (found) return std::nullopt;
    found = trimmed(value);
  }
  return found;
}

}  // namespace throughcure::service
