#include "throughcure/exchange/foreign_text.hpp"

#include <array>
#include <cstdint>
#include <iterator>
#include <utility>

#include <boost/locale/encoding_utf.hpp>

#include "throughcure/base/utf8.hpp"

namespace throughcure::exchange {

namespace {

using std::string_view_literals::operator""sv;

constexpr const char* kSaveAsCsv = "Open it in a spreadsheet and save it as CSV (UTF-8)";

/// What 0x80 to 0x9F stand for; 0: nothing. All other bytes stand for the code point of their own number.
/// Source: Unicode's table CP1252.TXT (Windows code page 1252), from memory of it.
constexpr std::array<char16_t, 32> kHighControls = {0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                                    0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
                                                    0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                                    0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

constexpr std::uint8_t byte_at(std::string_view bytes, std::size_t i) { return static_cast<std::uint8_t>(bytes[i]); }

std::optional<std::string> utf8_of(const std::u16string& text) {
  try {
    return boost::locale::conv::utf_to_utf<char>(text, boost::locale::conv::stop);
  } catch (const boost::locale::conv::conversion_error&) {
    return std::nullopt;
  }
}

/// `high` is which byte of two is the high one. Nothing where it is no UTF-16 (RFC 2781).
std::optional<std::string> from_utf16(std::string_view bytes, std::size_t high) {
  if (bytes.size() % 2 != 0) return std::nullopt;
  std::u16string text;
  text.reserve(bytes.size() / 2);
  for (std::size_t i = 0; i < bytes.size(); i += 2) {
    text += static_cast<char16_t>(byte_at(bytes, i + high) * 256U + byte_at(bytes, i + 1 - high));
  }
  return utf8_of(text);
}

std::optional<std::string> from_windows_1252(std::string_view bytes) {
  std::u16string text;
  text.reserve(bytes.size());
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const std::uint8_t byte = byte_at(bytes, i);
    const char16_t point = byte < 0x80 || byte > 0x9F ? byte : kHighControls.at(byte - 0x80U);
    if (point == 0 && byte != 0) return std::nullopt;
    text += point;
  }
  return utf8_of(text);
}

bool is_other_than_text(std::string_view bytes) {
  constexpr std::array other = {"PK\x03\x04"sv, "\xD0\xCF\x11\xE0"sv, "%PDF-"sv, "\x89PNG"sv, "\xFF\xD8\xFF"sv};
  for (const std::string_view first : other) {
    if (bytes.starts_with(first)) return true;
  }
  return false;
}

std::optional<std::string> decoded(std::string_view bytes, std::string_view encoding) {
  if (encoding == "UTF-16") return from_utf16(bytes.substr(2), bytes.front() == '\xFE' ? 0 : 1);
  if (encoding == "Windows-1252") return from_windows_1252(bytes);
  if (!base::is_utf8(bytes)) return std::nullopt;
  return std::string(bytes);
}

}  // namespace

std::optional<ForeignText> foreign_text(std::string_view bytes, const std::string& file, base::Problems& problems) {
  const auto refuse = [&](std::string what) {
    problems.push_back({.file = file, .field = {}, .what = std::move(what), .remedy = kSaveAsCsv});
    return std::nullopt;
  };
  if (is_other_than_text(bytes)) return refuse("it is no text: it may be a spreadsheet's own file, or a picture");
  std::string_view encoding = "Windows-1252";
  if (bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF")) {
    encoding = "UTF-16";
  } else if (bytes.starts_with("\xEF\xBB\xBF")) {
    bytes.remove_prefix(3);
    encoding = "UTF-8";
  } else if (base::is_utf8(bytes)) {
    encoding = "UTF-8";
  }
  auto text = decoded(bytes, encoding);
  if (!text) return refuse("it holds bytes that are no text in " + std::string(encoding));
  if (text->find('\0') != std::string::npos) return refuse("it holds bytes of value 0, which no text has");
  return ForeignText{.text = *std::move(text), .encoding = encoding};
}

}  // namespace throughcure::exchange
