// A table as a spreadsheet saves it (CSV): a row of names, and rows of cells.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {

/// The largest table that is read; what is beyond is refused with what to do.
struct SheetLimits {
  std::size_t bytes = std::size_t{16} << 20;
  std::size_t rows = 200'000;
  std::size_t columns = 200;
  std::size_t cells = 4'000'000;
  std::size_t cell_bytes = 4000;
};

/// Blanks at the ends of cells are not part of them. Rows that hold nothing are left out, and counted.
class Sheet {
 public:
  [[nodiscard]] std::string_view encoding() const { return encoding_; }
  [[nodiscard]] char delimiter() const { return delimiter_; }
  /// A name for each column: as the first row has it, or "Column 3" where that is empty.
  [[nodiscard]] const std::vector<std::string>& names() const { return names_; }
  /// Below the names.
  [[nodiscard]] std::size_t rows() const { return rows_.size(); }
  /// Number of a row in the file, from 1, as a spreadsheet shows it.
  [[nodiscard]] int number(std::size_t row) const { return rows_[row].number; }
  /// How many cells a row has up to its last one that holds something: may be more than there are names.
  [[nodiscard]] std::size_t width(std::size_t row) const { return rows_[row].cells; }
  /// Empty where a row is too short.
  [[nodiscard]] std::string_view cell(std::size_t row, std::size_t column) const;
  /// About what it takes in memory.
  [[nodiscard]] std::size_t bytes() const;

 private:
  friend class SheetReader;
  struct Row {
    int number = 0;
    std::uint32_t first = 0;
    std::uint32_t cells = 0;
  };
  std::string_view encoding_;
  char delimiter_ = ',';
  std::vector<std::string> names_;
  std::string text_;                 ///< of all cells, one behind the other
  std::vector<std::uint32_t> ends_;  ///< of each cell in it
  std::vector<Row> rows_;
};

/// Reads bytes as foreign_text does and takes them apart by RFC 4180, with ; , tab or | between the cells: whichever
/// makes the rows most alike, or the one that a first line "sep=;" names. A quotation mark inside a cell without
/// quotes is part of it. Refused, with row and remedy: what is over the limits, a cell whose quotation mark never
/// ends, no names, names that read as values.
std::optional<Sheet> read_sheet(std::string_view bytes, const std::string& file, base::Problems& problems,
                                const SheetLimits& limits = {});

}  // namespace throughcure::exchange
