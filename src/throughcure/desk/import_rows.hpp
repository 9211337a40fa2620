// A row of a spreadsheet as the record that it becomes.
#pragma once

#include <optional>
#include <variant>

#include "throughcure/desk/import_cells.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/member.hpp"
#include "throughcure/practice/restoration.hpp"

namespace throughcure::desk {

/// A light comes with its tip, where the row says how wide that is; the tip's own light is said when it is kept.
struct NewLight {
  fleet::LightEntry light;
  std::optional<fleet::TipEntry> tip;
};

/// A lot with what its row says of the material, whose number is 0 where the records have none such.
struct NewLot {
  practice::Lot lot;
  practice::MaterialEntry material;
};

using ImportedRecord =
    std::variant<fleet::ReadingEntry, NewLight, fleet::RadiometerEntry, practice::Restoration, NewLot>;

/// Who imports, and when.
struct Importer {
  practice::Member member;
  base::Instant now{};
};

/// The record of the row that was begun last, by the rules of its kind; nothing, and told in `cells`, where it breaks
/// one.
std::optional<ImportedRecord> imported_record(ImportKind kind, ImportCells& cells, const ImportBook& book,
                                              const Importer& importer);

}  // namespace throughcure::desk
