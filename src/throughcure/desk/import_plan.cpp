#include "throughcure/desk/import_plan.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "throughcure/anatomy/tooth_number.hpp"
#include "throughcure/base/given.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/import_columns.hpp"

namespace throughcure::desk {

namespace {

constexpr std::string_view kNoon = "12:00";

class Planner {
 public:
  Planner(const exchange::Sheet& sheet, const ImportSettings& settings, const ImportBook& book)
      : sheet_(sheet), settings_(settings), book_(book) {}

  ImportPlan plan() {
    plan_.kind = settings_.kind;
    must_know_fields();
    take_columns();
    take_constants();
    find_date_order();
    find_decimal_mark();
    ask_for_tooth_numbers();
    ask_for_modes();
    ask_for_missing();
    return std::move(plan_);
  }

 private:
  PlannedField* planned(std::string_view name) {
    const auto at = std::ranges::find(plan_.fields, name, [](const PlannedField& one) { return one.field->name; });
    return at == plan_.fields.end() ? nullptr : &*at;
  }

  void must_know_fields() {
    const auto fields = import_fields(settings_.kind);
    base::Problems problems;
    const auto check = [&](const std::string& part, const std::string& name) {
      if (std::ranges::find(fields, name, &ImportField::name) != fields.end()) return;
      problems.push_back({.file = {},
                          .field = part + "." + name,
                          .what = "a " + std::string(word(settings_.kind)) + " has no such field to import",
                          .remedy = "Leave it out"});
    };
    for (const auto& [name, column] : settings_.columns) {
      check("columns", name);
      if (!column || *column < sheet_.names().size()) continue;
      problems.push_back({.file = {},
                          .field = "columns." + name,
                          .what = "the file has " + std::to_string(sheet_.names().size()) + " columns, counted from 0",
                          .remedy = "Choose one of them"});
    }
    for (const auto& [name, text] : settings_.constants) check("constants", name);
    base::refuse_if_any(problems);
  }

  void take_columns() {
    auto suggested = suggested_columns(settings_.kind, sheet_.names());
    std::set<std::size_t> said;
    for (const auto& [name, column] : settings_.columns) {
      if (column) said.insert(*column);
    }
    for (const ImportField& field : import_fields(settings_.kind)) {
      PlannedField planned{.field = &field};
      const auto own = settings_.columns.find(std::string(field.name));
      if (own != settings_.columns.end()) {
        planned.column = own->second;
      } else if (const auto likely = suggested[field.name]; likely && !said.contains(*likely)) {
        planned.column = likely;
      }
      if (field.only_for_all) planned.column.reset();
      if (planned.column) {
        planned.unit_text = exchange::unit_in_name(sheet_.names()[*planned.column]);
        planned.unit = exchange::unit_called(planned.unit_text);
      }
      plan_.fields.push_back(std::move(planned));
    }
  }

  void take_constants() {
    for (PlannedField& planned : plan_.fields) {
      const auto own = settings_.constants.find(std::string(planned.field->name));
      if (own != settings_.constants.end()) {
        planned.constant = own->second;
        if (planned.constant && planned.constant->find_first_not_of(' ') == std::string::npos) {
          planned.constant.reset();
        }
      } else if (planned.field->sort == FieldSort::kRecord && planned.field->required && !planned.column) {
        // Where there is only one, it can only be that.
        const auto choices = book_.choices(planned.field->refers_to);
        if (choices.size() == 1) planned.constant = choices.front().value;
      }
    }
  }

  /// Calls `take` with every cell of a field's column that holds something.
  template <class Take>
  void each_cell(const PlannedField& planned, const Take& take) const {
    if (!planned.column) return;
    for (std::size_t row = 0; row < sheet_.rows(); ++row) {
      if (settings_.leave_out.contains(sheet_.number(row))) continue;
      const std::string_view cell = sheet_.cell(row, *planned.column);
      if (!cell.empty()) take(cell);
    }
  }

  void find_date_order() {
    exchange::DateOrderFinder finder;
    const PlannedField* asked = nullptr;
    bool without_time = false;
    for (const PlannedField& planned : plan_.fields) {
      if (planned.field->sort != FieldSort::kDate || !planned.column) continue;
      if (asked == nullptr) asked = &planned;
      each_cell(planned, [&](std::string_view cell) {
        finder.add(cell);
        const auto day_first = exchange::read_written_date(cell, exchange::DateOrder::kDayMonthYear);
        const auto month_first = exchange::read_written_date(cell, exchange::DateOrder::kMonthDayYear);
        const auto any = day_first ? day_first : month_first;
        without_time = without_time || (any && !any->us_of_day);
      });
    }
    suggest_noon(without_time);
    plan_.date_order = settings_.date_order;
    if (plan_.date_order || asked == nullptr) return;
    plan_.date_order = finder.any() ? finder.order() : exchange::DateOrder::kYearMonthDay;
    if (plan_.date_order) return;
    constexpr std::array<std::string_view, 3> names = {"Day, month, year", "Month, day, year", "Year, month, day"};
    ImportQuestion question{.asks = Asks::kDateOrder, .field = std::string(asked->field->name), .sentence = {}};
    const std::string column = sheet_.names()[base::given(asked->column)];
    question.sentence = finder.is_mixed()
                            ? "In the column \"" + column +
                                  "\" some dates only read with the day first and others only with the month first. "
                                  "Which is right? The others are told as wrong."
                            : "How are the dates in the column \"" + column + "\" written? \"" + finder.example() +
                                  "\" can be two days.";
    for (const exchange::DateOrder order : exchange::kDateOrders) {
      if (!finder.is_mixed() && !finder.fits(order)) continue;
      question.choices.push_back({.value = std::string(exchange::word(order)),
                                  .name = std::string(names.at(static_cast<std::size_t>(order)))});
    }
    plan_.questions.push_back(std::move(question));
  }

  void suggest_noon(bool without_time) {
    PlannedField* const time = planned("time_of_day");
    const bool said = settings_.constants.contains("time_of_day");
    if (time != nullptr && without_time && !said) time->constant = kNoon;
  }

  void find_decimal_mark() {
    plan_.decimal_mark = settings_.decimal_mark;
    if (plan_.decimal_mark) return;
    exchange::DecimalMarkFinder finder;
    const PlannedField* asked = nullptr;
    std::string example;
    for (const PlannedField& planned : plan_.fields) {
      if (planned.field->sort != FieldSort::kNumber || !planned.column) continue;
      if (asked == nullptr) asked = &planned;
      each_cell(planned, [&](std::string_view cell) {
        finder.add(cell);
        if (!example.empty()) return;
        const auto point = exchange::read_written_number(cell, exchange::DecimalMark::kPoint);
        const auto comma = exchange::read_written_number(cell, exchange::DecimalMark::kComma);
        if (point && comma && point->value != comma->value) example = cell;
      });
    }
    plan_.decimal_mark = finder.mark();
    if (plan_.decimal_mark || asked == nullptr) return;
    ImportQuestion question{.asks = Asks::kDecimalMark,
                            .field = std::string(asked->field->name),
                            .sentence = {},
                            .choices = {{".", "A point: 1,050.5"}, {",", "A comma: 1.050,5"}}};
    question.sentence =
        finder.is_mixed()
            ? "Some numbers only read with a decimal point and others only with a decimal comma. Which is right? The "
              "others are told as wrong."
            : "Is \"" + example +
                  "\" more than a thousand, or a number with decimals? Say what stands before decimals.";
    plan_.questions.push_back(std::move(question));
  }

  /// 14 is a tooth in both notations, and not the same one.
  void ask_for_tooth_numbers() {
    PlannedField* const notation = planned("tooth_numbers");
    const PlannedField* const tooth = planned("tooth");
    if (notation == nullptr || notation->constant || tooth == nullptr || !tooth->column) return;
    bool iso = true;
    bool universal = true;
    bool any = false;
    each_cell(*tooth, [&](std::string_view cell) {
      const auto number = base::whole_number(cell);
      if (!number || *number < 1 || *number > 99) return;
      any = true;
      constexpr int first_primary = 51;
      const auto as = static_cast<int>(*number);
      iso = iso && (as >= first_primary || anatomy::ToothNumber::from_iso(as).has_value());
      universal = universal && anatomy::ToothNumber::from_universal(as).has_value();
    });
    if (!settings_.constants.contains("tooth_numbers") && iso != universal) {
      notation->constant = iso ? "iso" : "universal";
    } else if (!any) {
      notation->constant = "iso";
    }
  }

  /// Readings need a mode: of their own, or the one in which their light is checked.
  void ask_for_modes() {
    const PlannedField* const mode = planned("mode");
    if (settings_.kind != ImportKind::kReading || mode == nullptr || mode->column || mode->constant) return;
    const auto& lights = book_.lights();
    if (std::ranges::all_of(lights, [](const auto& one) { return one.second.check_mode.has_value(); })) return;
    ImportQuestion question{.asks = Asks::kConstant,
                            .field = "mode",
                            .sentence =
                                "In which mode were the lights when they were read? Some lights have none in "
                                "the records, and readings of different modes are not compared."};
    std::set<std::string> modes = {"standard"};
    for (const auto& [number, light] : lights) {
      if (light.check_mode) modes.insert(*light.check_mode);
    }
    for (const std::string& one : modes) question.choices.push_back({.value = one, .name = one});
    plan_.questions.push_back(std::move(question));
  }

  void ask_for_missing() {
    for (const PlannedField& planned : plan_.fields) {
      const ImportField& field = *planned.field;
      if (!field.required || planned.column || planned.constant) continue;
      ImportQuestion question{.asks = Asks::kConstant, .field = std::string(field.name), .sentence = {}};
      if (field.name == "tooth_numbers") {
        question.sentence = "How are the teeth numbered? The same number is another tooth in the other notation.";
        question.choices = {{"iso", "ISO 3950, two digits (11 to 48)"}, {"universal", "Universal (1 to 32)"}};
      } else if (field.sort == FieldSort::kRecord) {
        question.choices = book_.choices(field.refers_to);
        question.sentence =
            question.choices.empty()
                ? "There is no " + std::string(field.refers_to.substr(0, field.refers_to.find(' '))) +
                      " in the records yet. Add one first, or import a list of them."
                : "No column says it: " + std::string(field.label) + ". Choose a column, or one value for all rows.";
      } else {
        question.asks = Asks::kColumn;
        question.sentence = "Which column says it: " + std::string(field.label) + "?";
        for (std::size_t column = 0; column < sheet_.names().size(); ++column) {
          question.choices.push_back({.value = std::to_string(column), .name = sheet_.names()[column]});
        }
      }
      plan_.questions.push_back(std::move(question));
    }
  }

  const exchange::Sheet& sheet_;
  const ImportSettings& settings_;
  const ImportBook& book_;
  ImportPlan plan_;
};

}  // namespace

std::string_view word(Asks asks) {
  switch (asks) {
    case Asks::kDateOrder:
      return "date_order";
    case Asks::kDecimalMark:
      return "decimal_mark";
    case Asks::kConstant:
      return "constant";
    case Asks::kColumn:
      return "column";
  }
  return "";
}

ImportPlan plan_import(const exchange::Sheet& sheet, const ImportSettings& settings, const ImportBook& book) {
  return Planner(sheet, settings, book).plan();
}

}  // namespace throughcure::desk
