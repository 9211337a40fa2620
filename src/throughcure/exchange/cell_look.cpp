#include "throughcure/exchange/cell_look.hpp"

#include "throughcure/exchange/written_date.hpp"
#include "throughcure/exchange/written_number.hpp"
#include "throughcure/exchange/written_unit.hpp"

namespace throughcure::exchange {

std::string_view word(CellLook look) {
  switch (look) {
    case CellLook::kEmpty:
      return "empty";
    case CellLook::kDate:
      return "date";
    case CellLook::kNumber:
      return "number";
    case CellLook::kText:
      return "text";
  }
  return "";
}

CellLook look_of(std::string_view cell) {
  if (cell.empty()) return CellLook::kEmpty;
  for (const DecimalMark mark : {DecimalMark::kPoint, DecimalMark::kComma}) {
    const auto number = read_written_number(cell, mark);
    if (number && (number->unit.empty() || unit_called(number->unit))) return CellLook::kNumber;
  }
  for (const DateOrder order : kDateOrders) {
    if (read_written_date(cell, order)) return CellLook::kDate;
  }
  return last_day_of_written_month(cell) ? CellLook::kDate : CellLook::kText;
}

}  // namespace throughcure::exchange
