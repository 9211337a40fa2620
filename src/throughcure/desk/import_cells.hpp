// One row of a spreadsheet after the other, each field read as what it must be; what cannot be is told.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/desk/import_plan.hpp"

namespace throughcure::desk {

/// Something wrong with a row.
struct ImportRejection {
  int row = 0;        ///< as a spreadsheet numbers it
  std::string field;  ///< empty: the row as a whole
  std::string text;   ///< as it stands in the file, cut short
  std::string what;
  std::string remedy;
};

/// What a row was understood as, field by field.
using Understood = std::vector<std::pair<std::string, std::string>>;

/// Fields are asked for by name. A cell that holds nothing gives the plan's value for all rows. Where neither says
/// anything, nothing comes back, and a field that is required is told as missing.
class ImportCells {
 public:
  /// All of it must outlive this. `plan` has no open question of dates or marks.
  ImportCells(const exchange::Sheet& sheet, const ImportPlan& plan, const ImportBook& book);

  void begin(std::size_t row);
  /// Whether texts of what was understood are wanted: only some rows are shown.
  void keep_texts(bool keep) { keeps_texts_ = keep; }

  [[nodiscard]] std::optional<std::string> text(std::string_view field);
  [[nodiscard]] std::optional<double> number(std::string_view field);
  [[nodiscard]] std::optional<bool> yes(std::string_view field);
  /// One of the field's words, whatever the case and with blanks for low lines.
  [[nodiscard]] std::optional<std::string> word(std::string_view field);
  /// Number of the record that is named; 0: none, and told where something was named.
  [[nodiscard]] std::int64_t record(std::string_view field);
  /// The tip of a light: the one that is named, or its only one; 0: told.
  [[nodiscard]] std::int64_t tip_of(base::LightId light);
  /// A date with its time by a clock in that zone: beside the date, or in the field "time_of_day".
  [[nodiscard]] std::optional<base::Instant> instant(std::string_view field, const std::string& time_zone);
  /// A day alone, or the last one of a month alone: noon of it there.
  [[nodiscard]] std::optional<base::Instant> noon(std::string_view field, const std::string& time_zone);

  void reject(std::string_view field, std::string what, std::string remedy);
  void say(std::string_view field, std::string text);
  /// Of the row that was begun last.
  [[nodiscard]] const std::vector<ImportRejection>& rejections() const { return rejections_; }
  [[nodiscard]] Understood& understood() { return understood_; }

 private:
  struct Source {
    std::string_view text{};
    bool constant = false;
  };
  [[nodiscard]] const PlannedField& planned(std::string_view field) const;
  [[nodiscard]] Source source(const PlannedField& planned) const;
  Source wanted(const PlannedField& planned);
  std::optional<base::Instant> at_clock(std::string_view field, const exchange::WrittenDate& date,
                                        const std::string& time_zone);

  const exchange::Sheet& sheet_;
  const ImportPlan& plan_;
  const ImportBook& book_;
  std::size_t row_ = 0;
  bool keeps_texts_ = false;
  std::vector<ImportRejection> rejections_;
  Understood understood_;
};

/// "1,050.5": groups of three digits, a point before decimals.
std::string grouped_number(double number);

}  // namespace throughcure::desk
