// Numbers as people and spreadsheets write them, with a unit behind them or not.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace throughcure::exchange {

enum class DecimalMark : std::uint8_t { kPoint, kComma };

/// "." or ","
std::string_view word(DecimalMark mark);
std::optional<DecimalMark> decimal_mark_called(std::string_view word);

struct WrittenNumber {
  double value = 0;
  std::string_view unit{};  ///< what stands behind it, without blanks at its ends: part of the text that was read
};

/// Reads "1,234.5 mW/cm2" (with the point) or "1.234,5" (with the comma). Groups of three digits may be parted by the
/// other mark, a blank of any width or an apostrophe, the same throughout; a group that begins with 0 is none. A sign
/// and an exponent may stand. Nothing where it is no number that is finite, or what stands behind it begins with a
/// digit or a mark.
std::optional<WrittenNumber> read_written_number(std::string_view text, DecimalMark mark);

/// Finds out which mark a column's numbers are written with. What is no number with either counts for nothing.
class DecimalMarkFinder {
 public:
  void add(std::string_view cell);
  /// The mark, where only one is possible, or both mean the same numbers (the point then).
  [[nodiscard]] std::optional<DecimalMark> mark() const;
  /// Some read with the point only, others with the comma only.
  [[nodiscard]] bool is_mixed() const { return point_only_ > 0 && comma_only_ > 0; }

 private:
  std::size_t point_only_ = 0;
  std::size_t comma_only_ = 0;
  std::size_t hang_on_mark_ = 0;  ///< read with both, as different numbers
};

}  // namespace throughcure::exchange
