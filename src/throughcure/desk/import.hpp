// Spreadsheets as records: first what a file would become, row by row, then all of it or nothing.
#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "throughcure/desk/import_cells.hpp"
#include "throughcure/desk/import_plan.hpp"
#include "throughcure/desk/import_rows.hpp"
#include "throughcure/exchange/sheet.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// A row as it was understood.
struct UnderstoodRow {
  int row = 0;
  Understood values;
};

inline constexpr std::size_t kMostRejectionsTold = 1000;
inline constexpr std::size_t kMostRowsShown = 20;

struct ImportPreview {
  ImportPlan plan;
  std::vector<std::vector<ImportChoice>> choices{};  ///< of each field of the plan; empty where there is no list
  std::size_t accepted = 0;                          ///< rows
  std::size_t already = 0;                           ///< rows that the records hold, or that stand earlier in the file
  std::size_t left_out = 0;
  std::size_t rejected_rows = 0;
  std::vector<ImportRejection> rejected{};  ///< the first ones
  std::vector<UnderstoodRow> understood{};  ///< the first ones accepted
};

/// While a question stands, no row is looked at. Throws base::InputError for settings that do not fit the file.
ImportPreview preview_import(const store::Reader& reader, const exchange::Sheet& sheet, const ImportSettings& settings,
                             const Importer& importer);

/// How many rows became records.
struct ImportKept {
  std::size_t added = 0;
  std::size_t already = 0;
  std::size_t left_out = 0;
  std::vector<base::LightId> lights_read{};  ///< lights that readings were added to, by number
};

/// Adds every accepted row. Throws base::InputError, and the transaction with it, where a question stands or a row that
/// is not left out is rejected; nothing in it says what stands in a private field.
ImportKept keep_import(store::Writer& writer, const exchange::Sheet& sheet, const ImportSettings& settings,
                       const Importer& importer);

}  // namespace throughcure::desk
