// The reader of spreadsheets and those of dates, numbers, units and words on any bytes: they never break, and what they
// vouch for is within what they say.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "throughcure/base/utf8.hpp"
#include "throughcure/exchange/cell_look.hpp"
#include "throughcure/exchange/sheet.hpp"
#include "throughcure/exchange/written_date.hpp"
#include "throughcure/exchange/written_number.hpp"
#include "throughcure/exchange/written_unit.hpp"
#include "throughcure/exchange/written_yes_no.hpp"

using namespace throughcure;

namespace {

constexpr std::int64_t kUsPerDay = 86'400'000'000;
constexpr std::int64_t kDayOf1990 = 7305;
constexpr std::int64_t kLastDayOf2100 = 47'846;

void must(bool holds) {
  if (!holds) std::abort();
}

void read_every_way(std::string_view cell) {
  for (const exchange::DateOrder order : exchange::kDateOrders) {
    const auto date = exchange::read_written_date(cell, order);
    if (!date) continue;
    must(date->day >= kDayOf1990 && date->day <= kLastDayOf2100);
    must(!date->us_of_day || (*date->us_of_day >= 0 && *date->us_of_day < kUsPerDay));
    must(!date->offset_minutes || std::abs(*date->offset_minutes) < 15L * 60);
  }
  const auto month = exchange::last_day_of_written_month(cell);
  must(!month || (*month >= kDayOf1990 && *month <= kLastDayOf2100));
  const auto time = exchange::read_time_of_day(cell);
  must(!time || (*time >= 0 && *time < kUsPerDay));
  for (const exchange::DecimalMark mark : {exchange::DecimalMark::kPoint, exchange::DecimalMark::kComma}) {
    const auto number = exchange::read_written_number(cell, mark);
    must(!number || (std::isfinite(number->value) && cell.find(number->unit) != std::string_view::npos));
  }
  const auto unit = exchange::unit_called(cell);
  must(!unit || unit->factor > 0);
  must(cell.find(exchange::unit_in_name(cell)) != std::string_view::npos);
  (void)exchange::read_yes_no(cell);
  must((exchange::look_of(cell) == exchange::CellLook::kEmpty) == cell.empty());
}

}  // namespace

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  read_every_way(bytes);
  base::Problems problems;
  const exchange::SheetLimits limits{.bytes = 4000, .rows = 50, .columns = 20, .cells = 300, .cell_bytes = 100};
  const auto sheet = exchange::read_sheet(bytes, "fuzz.csv", problems, limits);
  must(sheet.has_value() == problems.empty() && problems.size() <= 1);
  if (!sheet) return 0;
  must(!sheet->names().empty() && sheet->names().size() <= limits.columns && sheet->rows() <= limits.rows);
  exchange::DateOrderFinder orders;
  exchange::DecimalMarkFinder marks;
  int before = 1;
  for (std::size_t row = 0; row < sheet->rows(); ++row) {
    must(sheet->number(row) > before && sheet->width(row) > 0 && sheet->width(row) <= limits.columns);
    before = sheet->number(row);
    for (std::size_t column = 0; column <= sheet->width(row); ++column) {
      const std::string_view cell = sheet->cell(row, column);
      must(base::is_utf8(cell) && cell.size() <= limits.cell_bytes);
      read_every_way(cell);
      orders.add(cell);
      marks.add(cell);
    }
  }
  must(!orders.order() || orders.fits(*orders.order()));
  must(!marks.mark() || !marks.is_mixed());
  return 0;
}
