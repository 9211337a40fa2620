#include "throughcure/exchange/written_number.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>
#include <system_error>

#include "throughcure/exchange/columns_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::string_view kMinusSign = "\xE2\x88\x92";
constexpr std::size_t kGroup = 3;
constexpr std::size_t kMostDigits = 40;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::size_t digits_at(std::string_view text) {
  return std::min(static_cast<std::size_t>(std::ranges::find_if_not(text, is_digit) - text.begin()), text.size());
}

/// What parts groups of three digits at the front of `text`; empty for nothing.
std::string_view separator_at(std::string_view text, DecimalMark mark) {
  // A blank, no-break, narrow no-break and thin ones, two apostrophes.
  constexpr std::array<std::string_view, 6> always = {" ", "\xC2\xA0",    "\xE2\x80\xAF", "\xE2\x80\x89",
                                                      "'", "\xE2\x80\x99"};
  if (text.starts_with(mark == DecimalMark::kPoint ? ',' : '.')) return text.substr(0, 1);
  for (const std::string_view one : always) {
    if (text.starts_with(one)) return text.substr(0, one.size());
  }
  return {};
}

/// Takes the whole part off the front of `text` and adds its digits to `plain`.
void take_whole_part(std::string_view& text, DecimalMark mark, std::string& plain) {
  const std::size_t first = digits_at(text);
  plain += text.substr(0, first);
  const bool may_group = first >= 1 && first <= kGroup && text.front() != '0';
  text.remove_prefix(first);
  if (!may_group) return;
  const std::string_view separator = separator_at(text, mark);
  while (!separator.empty() && text.starts_with(separator) && digits_at(text.substr(separator.size())) == kGroup) {
    plain += text.substr(separator.size(), kGroup);
    text.remove_prefix(separator.size() + kGroup);
  }
}

void take_exponent(std::string_view& text, std::string& plain) {
  if (text.empty() || (text.front() != 'e' && text.front() != 'E')) return;
  std::string_view rest = text.substr(1);
  const bool negative = rest.starts_with('-');
  if (negative || rest.starts_with('+')) rest.remove_prefix(1);
  const std::size_t digits = digits_at(rest);
  if (digits == 0) return;  // a unit may begin with an e
  plain += negative ? "e-" : "e";
  plain += rest.substr(0, digits);
  text = rest.substr(digits);
}

/// What may stand behind a number: a unit, or nothing; never more of a number, a date or a time.
bool may_follow(std::string_view rest) {
  constexpr std::string_view never = "0123456789.,;:/-+'\"(<>=_";
  return rest.empty() || never.find(rest.front()) == std::string_view::npos;
}

}  // namespace

std::string_view word(DecimalMark mark) { return mark == DecimalMark::kPoint ? "." : ","; }

std::optional<DecimalMark> decimal_mark_called(std::string_view word) {
  if (word == ".") return DecimalMark::kPoint;
  if (word == ",") return DecimalMark::kComma;
  return std::nullopt;
}

std::optional<WrittenNumber> read_written_number(std::string_view text, DecimalMark mark) {
  text = trimmed(text);
  std::string plain;
  if (text.starts_with('-') || text.starts_with(kMinusSign)) {
    plain += '-';
    text.remove_prefix(text.starts_with('-') ? 1 : kMinusSign.size());
  } else if (text.starts_with('+')) {
    text.remove_prefix(1);
  }
  const std::size_t before = plain.size();
  take_whole_part(text, mark, plain);
  const char point = word(mark).front();
  if (text.starts_with(point) && digits_at(text.substr(1)) > 0) {
    const std::size_t digits = digits_at(text.substr(1));
    plain += '.';
    plain += text.substr(1, digits);
    text.remove_prefix(1 + digits);
  }
  if (plain.size() == before || plain.size() > kMostDigits) return std::nullopt;
  take_exponent(text, plain);
  WrittenNumber number{.unit = trimmed(text)};
  if (!may_follow(number.unit)) return std::nullopt;
  const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), number.value);
  if (error != std::errc{} || end != plain.data() + plain.size() || !std::isfinite(number.value)) return std::nullopt;
  return number;
}

void DecimalMarkFinder::add(std::string_view cell) {
  const auto with_point = read_written_number(cell, DecimalMark::kPoint);
  const auto with_comma = read_written_number(cell, DecimalMark::kComma);
  if (with_point && with_comma) {
    hang_on_mark_ += with_point->value != with_comma->value ? 1U : 0U;
    return;
  }
  point_only_ += with_point ? 1U : 0U;
  comma_only_ += with_comma ? 1U : 0U;
}

std::optional<DecimalMark> DecimalMarkFinder::mark() const {
  if (is_mixed()) return std::nullopt;
  if (comma_only_ > 0) return DecimalMark::kComma;
  if (point_only_ > 0 || hang_on_mark_ == 0) return DecimalMark::kPoint;
  return std::nullopt;
}

}  // namespace throughcure::exchange
