#include "throughcure/exchange/csv_cells.hpp"

#include <algorithm>
#include <memory>

#include <csv.h>

namespace throughcure::exchange {

namespace {

constexpr std::size_t kPiece = std::size_t{64} << 10;

/// What the library's callbacks are handed.
struct Sink {
  const std::function<bool(std::string_view)>* cell = nullptr;
  const std::function<bool()>* row = nullptr;
  std::size_t most_cell_bytes = 0;
  std::size_t cells_in_row = 0;
  bool after_return = false;  ///< the row before ended in a carriage return: a line feed behind it ends nothing new
  bool stopped = false;
  bool too_long = false;
};

void take_cell(void* bytes, std::size_t size, void* data) {
  Sink& sink = *static_cast<Sink*>(data);
  sink.after_return = false;
  ++sink.cells_in_row;
  if (sink.stopped) return;
  sink.too_long = size > sink.most_cell_bytes;
  sink.stopped = sink.too_long || !(*sink.cell)({static_cast<const char*>(bytes), size});
}

void take_row(int ended_by, void* data) {
  Sink& sink = *static_cast<Sink*>(data);
  const bool same_line_end = sink.after_return && ended_by == '\n' && sink.cells_in_row == 0;
  sink.after_return = ended_by == '\r';
  sink.cells_in_row = 0;
  if (!same_line_end && !sink.stopped) sink.stopped = !(*sink.row)();
}

}  // namespace

CsvEnd each_csv_cell(std::string_view text, char delimiter, std::size_t most_cell_bytes,
                     const std::function<bool(std::string_view)>& cell, const std::function<bool()>& row) {
  csv_parser parser{};
  csv_init(&parser, CSV_REPALL_NL);
  const std::unique_ptr<csv_parser, decltype(&csv_free)> freed(&parser, &csv_free);
  csv_set_delim(&parser, static_cast<unsigned char>(delimiter));
  csv_set_blk_size(&parser, kPiece);
  Sink sink{.cell = &cell, .row = &row, .most_cell_bytes = most_cell_bytes};
  for (std::size_t from = 0; from < text.size() && !sink.stopped; from += kPiece) {
    const std::size_t size = std::min(kPiece, text.size() - from);
    csv_parse(&parser, text.data() + from, size, &take_cell, &take_row, &sink);
    if (!sink.stopped && parser.entry_pos > most_cell_bytes) return CsvEnd::kLongCell;
  }
  // Strict at the end only: a quotation mark inside a cell is no fault, one that never ends is.
  csv_set_opts(&parser, CSV_REPALL_NL | CSV_STRICT | CSV_STRICT_FINI);
  if (!sink.stopped && csv_fini(&parser, &take_cell, &take_row, &sink) != 0) return CsvEnd::kOpenQuote;
  if (sink.too_long) return CsvEnd::kLongCell;
  return sink.stopped ? CsvEnd::kStopped : CsvEnd::kAll;
}

}  // namespace throughcure::exchange
