#include "throughcure/exchange/sheet.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include "throughcure/exchange/cell_look.hpp"
#include "throughcure/exchange/columns_text.hpp"
#include "throughcure/exchange/csv_cells.hpp"
#include "throughcure/exchange/field_text.hpp"
#include "throughcure/exchange/foreign_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::array kDelimiters = {';', ',', '\t', '|'};
constexpr std::size_t kRowsLookedAt = 100;
constexpr std::string_view kNoBreakSpace = "\xC2\xA0";

std::string_view without_blanks(std::string_view cell) {
  for (;;) {
    const std::size_t before = cell.size();
    cell = trimmed(cell);
    if (cell.starts_with(kNoBreakSpace)) cell.remove_prefix(kNoBreakSpace.size());
    if (cell.ends_with(kNoBreakSpace)) cell.remove_suffix(kNoBreakSpace.size());
    if (cell.size() == before) return cell;
  }
}

/// How alike the first rows are with that delimiter: share of those with the most frequent number of cells, and that
/// number; one cell a row is no likeness.
std::pair<double, std::size_t> likeness(std::string_view text, char delimiter) {
  std::map<std::size_t, std::size_t> rows_of_width;
  std::size_t rows = 0;
  std::size_t cells = 0;
  const auto end_row = [&] {
    if (cells > 0) {
      ++rows_of_width[cells];
      ++rows;
    }
    cells = 0;
    return rows < kRowsLookedAt;
  };
  each_csv_cell(
      text, delimiter, text.size(),
      [&](std::string_view) {
        ++cells;
        return true;
      },
      end_row);
  std::pair<double, std::size_t> best{0, 0};
  for (const auto& [width, count] : rows_of_width) {
    if (width > 1) best = std::max(best, {static_cast<double>(count) / static_cast<double>(rows), width});
  }
  return best;
}

char delimiter_of(std::string_view text) {
  // Enough for a hundred rows; a quotation mark that never ends is told later, when all is read.
  text = text.substr(0, std::size_t{1} << 18);
  char best = ',';
  std::pair<double, std::size_t> most{0, 0};
  for (const char delimiter : kDelimiters) {
    const auto here = likeness(text, delimiter);
    if (here > most) {
      most = here;
      best = delimiter;
    }
  }
  return best;
}

/// "sep=;" in the first line, as some spreadsheets write it and none shows it.
std::optional<char> named_delimiter(std::string_view& text) {
  constexpr std::string_view word = "sep=";
  if (!text.starts_with(word) || text.size() <= word.size()) return std::nullopt;
  const char delimiter = text[word.size()];
  std::string_view rest = text.substr(word.size() + 1);
  if (std::ranges::find(kDelimiters, delimiter) == kDelimiters.end()) return std::nullopt;
  if (!rest.empty() && rest.front() != '\r' && rest.front() != '\n') return std::nullopt;
  if (rest.starts_with('\r')) rest.remove_prefix(1);
  if (rest.starts_with('\n')) rest.remove_prefix(1);
  text = rest;
  return delimiter;
}

std::string in_row(int row) { return "row " + std::to_string(row) + ": "; }

}  // namespace

std::string_view Sheet::cell(std::size_t row, std::size_t column) const {
  const Row& at = rows_[row];
  if (column >= at.cells) return {};
  const std::size_t index = at.first + column;
  const std::size_t from = index == 0 ? 0 : ends_[index - 1];
  return std::string_view(text_).substr(from, ends_[index] - from);
}

std::size_t Sheet::bytes() const {
  std::size_t names = 0;
  for (const std::string& name : names_) names += sizeof(std::string) + name.size();
  return sizeof(Sheet) + names + text_.capacity() + ends_.capacity() * sizeof(std::uint32_t) +
         rows_.capacity() * sizeof(Row);
}

class SheetReader {
 public:
  SheetReader(const std::string& file, base::Problems& problems, const SheetLimits& limits)
      : file_(file), problems_(problems), limits_(limits) {}

  std::optional<Sheet> read(std::string_view bytes) {
    if (bytes.size() > limits_.bytes) {
      return refuse(
          "it has " + std::to_string(bytes.size()) + " bytes, and " + std::to_string(limits_.bytes) + " is the most",
          "Split it into several files, each with the row of names");
    }
    const auto foreign = foreign_text(bytes, file_, problems_);
    if (!foreign) return std::nullopt;
    std::string_view text = foreign->text;
    const auto named = named_delimiter(text);
    sheet_.delimiter_ = named ? *named : delimiter_of(text);
    sheet_.encoding_ = foreign->encoding;
    const CsvEnd end = each_csv_cell(
        text, sheet_.delimiter_, limits_.cell_bytes, [this](std::string_view cell) { return take_cell(cell); },
        [this] { return end_row(); });
    if (end == CsvEnd::kStopped || !tell(end)) return std::nullopt;
    if (!take_names()) return std::nullopt;
    return std::move(sheet_);
  }

 private:
  std::nullopt_t refuse(std::string what, std::string remedy) {
    problems_.push_back({.file = file_, .field = {}, .what = std::move(what), .remedy = std::move(remedy)});
    return std::nullopt;
  }

  bool take_cell(std::string_view cell) {
    if (cells_ == 0) row_began_ = sheet_.ends_.size();
    if (cells_ == limits_.columns) {
      refuse(in_row(number_ + 1) + "it has more than " + std::to_string(limits_.columns) + " cells",
             "Leave out the columns that are not needed");
      return false;
    }
    if (sheet_.ends_.size() == limits_.cells) {
      refuse(in_row(number_ + 1) + "up to here there are " + std::to_string(limits_.cells) + " cells, the most",
             "Leave out the columns that are not needed, or split the file");
      return false;
    }
    sheet_.text_ += without_blanks(cell);
    sheet_.ends_.push_back(static_cast<std::uint32_t>(sheet_.text_.size()));
    ++cells_;
    return true;
  }

  bool end_row() {
    ++number_;
    const std::size_t cells = std::exchange(cells_, 0);
    if (cells == 0) return true;
    // Cells at the end that hold nothing are no cells: spreadsheets write them for every row.
    const std::size_t before = row_began_ == 0 ? 0 : sheet_.ends_[row_began_ - 1];
    std::size_t width = cells;
    while (width > 0 && text_end(row_began_ + width - 1) == (width > 1 ? text_end(row_began_ + width - 2) : before)) {
      --width;
    }
    sheet_.ends_.resize(row_began_ + width);
    if (width == 0) return true;
    if (sheet_.rows_.size() > limits_.rows) {
      refuse(in_row(number_) + "up to here there are " + std::to_string(limits_.rows) + " rows, the most",
             "Split the file into several, each with the row of names");
      return false;
    }
    sheet_.rows_.push_back({.number = number_,
                            .first = static_cast<std::uint32_t>(row_began_),
                            .cells = static_cast<std::uint32_t>(width)});
    return true;
  }

  [[nodiscard]] std::size_t text_end(std::size_t cell) const { return sheet_.ends_[cell]; }

  bool tell(CsvEnd end) {
    if (end == CsvEnd::kOpenQuote) {
      refuse(in_row(number_ + 1) + "a quotation mark opens there and never ends",
             "Put a quotation mark behind the cell, or take it away; one inside a cell is written twice");
    } else if (end == CsvEnd::kLongCell) {
      refuse(in_row(number_ + 1) + "a cell has more than " + std::to_string(limits_.cell_bytes) + " bytes",
             "Shorten it, or look whether a quotation mark before it never ends");
    }
    return end == CsvEnd::kAll;
  }

  /// The first row names the columns; titles of one cell above a wider table are passed over.
  bool take_names() {
    auto& rows = sheet_.rows_;
    const auto wide = std::ranges::find_if(rows, [this](const Sheet::Row& row) { return filled(row) > 1; });
    const auto names = wide == rows.end() ? rows.begin() : wide;
    if (names == rows.end()) {
      refuse("it holds nothing", "Give a row that names the columns, and below it a row for each record");
      return false;
    }
    const auto row = static_cast<std::size_t>(names - rows.begin());
    if (names_read_as_values(row)) {
      refuse(in_row(names->number) + "it holds values where the names of the columns are looked for, " +
                 shown(sheet_.cell(row, 0)),
             "Put a row that names the columns above the first record");
      return false;
    }
    for (std::size_t column = 0; column < names->cells; ++column) {
      const std::string name(sheet_.cell(row, column));
      sheet_.names_.push_back(name.empty() ? "Column " + std::to_string(column + 1) : cut_short(name, kMostFieldBytes));
    }
    rows.erase(rows.begin(), names + 1);
    return true;
  }

  [[nodiscard]] std::size_t filled(const Sheet::Row& row) const {
    std::size_t count = 0;
    for (std::size_t i = row.first; i < row.first + row.cells; ++i) {
      count += text_end(i) > (i == 0 ? 0 : text_end(i - 1)) ? 1U : 0U;
    }
    return count;
  }

  /// More than half of them are dates or numbers: somebody left the names out.
  [[nodiscard]] bool names_read_as_values(std::size_t row) const {
    std::size_t values = 0;
    std::size_t all = 0;
    for (std::size_t column = 0; column < sheet_.width(row); ++column) {
      const CellLook look = look_of(sheet_.cell(row, column));
      all += look == CellLook::kEmpty ? 0U : 1U;
      values += look == CellLook::kDate || look == CellLook::kNumber ? 1U : 0U;
    }
    return 2 * values > all;
  }

  const std::string& file_;
  base::Problems& problems_;
  const SheetLimits& limits_;
  Sheet sheet_;
  int number_ = 0;  ///< of the row that ended last
  std::size_t cells_ = 0;
  std::size_t row_began_ = 0;
};

std::optional<Sheet> read_sheet(std::string_view bytes, const std::string& file, base::Problems& problems,
                                const SheetLimits& limits) {
  return SheetReader(file, problems, limits).read(bytes);
}

}  // namespace throughcure::exchange
