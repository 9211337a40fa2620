// How a spreadsheet is to be read as records: as somebody said, with what is not said suggested, and with questions
// where it cannot be known.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/desk/import_book.hpp"
#include "throughcure/desk/import_fields.hpp"
#include "throughcure/exchange/sheet.hpp"
#include "throughcure/exchange/written_date.hpp"
#include "throughcure/exchange/written_number.hpp"

namespace throughcure::desk {

/// What somebody said of a file. A field that is not named is suggested; one that is named with none has none.
struct ImportSettings {
  ImportKind kind = ImportKind::kReading;
  std::map<std::string, std::optional<std::size_t>> columns{};
  std::map<std::string, std::optional<std::string>> constants{};  ///< values for all rows whose cell is empty
  std::optional<exchange::DateOrder> date_order{};                ///< none: find it out
  std::optional<exchange::DecimalMark> decimal_mark{};            ///< none: find it out
  std::set<int> leave_out{};                                      ///< numbers of rows
};

/// What an answer to a question is written to.
enum class Asks : std::uint8_t { kDateOrder, kDecimalMark, kConstant, kColumn };

/// "date_order", "decimal_mark", "constant", "column"
std::string_view word(Asks asks);

/// Something that the file does not say.
struct ImportQuestion {
  Asks asks = Asks::kColumn;
  std::string field;
  std::string sentence;
  std::vector<ImportChoice> choices{};
};

/// A field of the kind with where its values come from.
struct PlannedField {
  const ImportField* field = nullptr;
  std::optional<std::size_t> column{};
  std::optional<exchange::Unit> unit{};  ///< that the column's name ends with
  std::string unit_text{};
  std::optional<std::string> constant{};
};

struct ImportPlan {
  ImportKind kind = ImportKind::kReading;
  std::vector<PlannedField> fields{};  ///< in the order of import_fields
  std::optional<exchange::DateOrder> date_order{};
  std::optional<exchange::DecimalMark> decimal_mark{};
  std::vector<ImportQuestion> questions{};
};

/// Throws base::InputError where the settings name a field or column that is not there.
ImportPlan plan_import(const exchange::Sheet& sheet, const ImportSettings& settings, const ImportBook& book);

}  // namespace throughcure::desk
