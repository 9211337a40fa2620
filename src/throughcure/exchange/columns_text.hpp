// What the readers of columns share: lines, fields and numbers as instruments and spreadsheets write them.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace throughcure::exchange {

/// What counts as nothing at the ends of a field.
inline constexpr std::string_view kBlanks = " \t\r\f\v";

/// A line with its number in the file, from 1.
struct TextLine {
  int number = 0;
  std::string_view text;
};

/// The text without blanks at its ends.
std::string_view trimmed(std::string_view text);

/// The lines that hold something, without what follows a # and without a byte order mark. A carriage return alone ends
/// a line too.
std::vector<TextLine> lines_of(std::string_view text);

/// The number that a field holds, decimals by a point or a comma, in quotes or not; nothing where it is none.
std::optional<double> number_in(std::string_view field);

/// A field as it may be shown: short, and without control characters or broken letters.
std::string shown(std::string_view field);

}  // namespace throughcure::exchange
