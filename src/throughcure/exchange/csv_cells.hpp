// Text taken apart into cells and rows (RFC 4180) by libcsv, which stays behind it.
#pragma once

#include <cstddef>
#include <functional>
#include <string_view>

namespace throughcure::exchange {

enum class CsvEnd : unsigned char {
  kAll,        ///< everything was taken apart
  kStopped,    ///< a callback asked for it
  kOpenQuote,  ///< the last cell's quotation mark never ends
  kLongCell,   ///< a cell has more than `most_cell_bytes`
};

/// Calls `cell` with each cell, which lasts for the call, and `row` at the end of each row, one that holds nothing
/// included (it has no cell then). Either returns false to stop; neither may throw. A cell that is too long is told
/// some 64 KiB late at most.
CsvEnd each_csv_cell(std::string_view text, char delimiter, std::size_t most_cell_bytes,
                     const std::function<bool(std::string_view)>& cell, const std::function<bool()>& row);

}  // namespace throughcure::exchange
