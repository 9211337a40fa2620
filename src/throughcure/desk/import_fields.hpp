// What may be imported from a spreadsheet, kind by kind, and what each field of it is called.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "throughcure/exchange/written_unit.hpp"

namespace throughcure::desk {

enum class ImportKind : std::uint8_t { kReading, kLight, kRadiometer, kRestoration, kLot };

/// "reading", ...: the kind of record.
std::string_view word(ImportKind kind);
std::optional<ImportKind> import_kind_called(std::string_view word);

/// What a field's text is read as.
enum class FieldSort : std::uint8_t { kText, kDate, kTimeOfDay, kNumber, kYesNo, kWord, kRecord };

struct ImportField {
  std::string_view name;
  std::string_view label;
  std::string_view what;     ///< a sentence
  std::string_view headers;  ///< what its column may be called, the likeliest first: lower case, parted by |
  FieldSort sort = FieldSort::kText;
  bool required = false;
  std::optional<exchange::Quantity> quantity{};  ///< of a number
  std::string_view refers_to{};                  ///< of a record: its kind
  std::span<const std::string_view> words{};     ///< of a word: the list
  bool only_for_all = false;                     ///< said once for all rows, never in a column
};

std::span<const ImportField> import_fields(ImportKind kind);

}  // namespace throughcure::desk
