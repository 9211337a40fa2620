#include "throughcure/service/import_json.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/cell_look.hpp"
#include "throughcure/exchange/field_text.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

constexpr std::size_t kSamples = 3;
constexpr std::size_t kRowsLookedAt = 200;

class SettingsReader {
 public:
  explicit SettingsReader(std::string_view document) : json_(json::parse(document, nullptr, false)) {}

  desk::ImportSettings read() {
    if (!json_.is_object()) {
      add("", "the body is no JSON object", "Send the fields as one");
      base::refuse_if_any(problems_);
    }
    constexpr std::array<std::string_view, 6> known = {"kind",       "columns",      "constants",
                                                       "date_order", "decimal_mark", "leave_out"};
    for (const auto& [key, value] : json_.items()) {
      if (std::ranges::find(known, key) == known.end()) add(key, "there is no such field", "Leave it out");
    }
    const auto kind = desk::import_kind_called(text("kind").value_or(""));
    if (!kind) add("kind", "it is no kind that can be imported", "Name reading, light, radiometer, restoration or lot");
    settings_.kind = kind.value_or(desk::ImportKind::kReading);
    read_columns();
    read_constants();
    if (const auto word = text("date_order")) {
      settings_.date_order = exchange::date_order_called(*word);
      if (!settings_.date_order) add("date_order", "it is no order of a date", "Say dmy, mdy or ymd, or null");
    }
    if (const auto word = text("decimal_mark")) {
      settings_.decimal_mark = exchange::decimal_mark_called(*word);
      if (!settings_.decimal_mark) add("decimal_mark", "it is no decimal mark", "Say . or , or null");
    }
    read_leave_out();
    base::refuse_if_any(problems_);
    return std::move(settings_);
  }

 private:
  void add(std::string field, std::string what, std::string remedy) {
    problems_.push_back({.file = {}, .field = std::move(field), .what = std::move(what), .remedy = std::move(remedy)});
  }

  const json* find(const char* name) const {
    const auto at = json_.find(name);
    return at == json_.end() || at->is_null() ? nullptr : &*at;
  }

  std::optional<std::string> text(const char* name) {
    const json* const at = find(name);
    if (at == nullptr) return std::nullopt;
    if (at->is_string()) return at->get<std::string>();
    add(name, "it is no text", "Give a text, or null");
    return std::nullopt;
  }

  void read_columns() {
    const json* const columns = find("columns");
    if (columns == nullptr) return;
    if (!columns->is_object()) return add("columns", "it is no object", "Give a column's number for each field");
    for (const auto& [field, column] : columns->items()) {
      if (column.is_null()) {
        settings_.columns[field] = std::nullopt;
      } else if (column.is_number_unsigned()) {
        settings_.columns[field] = column.get<std::size_t>();
      } else {
        add("columns." + field, "it is no number of a column", "Give one, counted from 0, or null");
      }
    }
  }

  void read_constants() {
    const json* const constants = find("constants");
    if (constants == nullptr) return;
    if (!constants->is_object()) return add("constants", "it is no object", "Give a text for each field");
    for (const auto& [field, value] : constants->items()) {
      if (value.is_null()) {
        settings_.constants[field] = std::nullopt;
      } else if (value.is_string()) {
        settings_.constants[field] = value.get<std::string>();
      } else {
        add("constants." + field, "it is no text", "Give a text, or null");
      }
    }
  }

  void read_leave_out() {
    const json* const rows = find("leave_out");
    if (rows == nullptr) return;
    if (!rows->is_array()) return add("leave_out", "it is no list", "Give the numbers of rows");
    for (const json& row : *rows) {
      if (row.is_number_unsigned() && row.get<std::uint64_t>() <= std::numeric_limits<int>::max()) {
        settings_.leave_out.insert(row.get<int>());
      } else {
        add("leave_out", "it holds something that is no number of a row", "Give the numbers of rows");
        return;
      }
    }
  }

  json json_;
  desk::ImportSettings settings_;
  base::Problems problems_;
};

json columns_of(const exchange::Sheet& sheet) {
  json columns = json::array();
  for (std::size_t column = 0; column < sheet.names().size(); ++column) {
    json samples = json::array();
    std::array<std::size_t, 4> looks{};
    for (std::size_t row = 0; row < std::min(sheet.rows(), kRowsLookedAt); ++row) {
      const std::string_view cell = sheet.cell(row, column);
      if (cell.empty()) continue;
      ++looks.at(static_cast<std::size_t>(exchange::look_of(cell)));
      const std::string shown = exchange::cut_short(std::string(cell));
      if (samples.size() < kSamples && std::ranges::find(samples, json(shown)) == samples.end()) {
        samples.push_back(shown);
      }
    }
    const auto most = static_cast<std::size_t>(std::ranges::max_element(looks) - looks.begin());
    columns.push_back({{"name", sheet.names()[column]},
                       {"samples", samples},
                       {"looks_like", exchange::word(static_cast<exchange::CellLook>(most))}});
  }
  return columns;
}

json choices_of(const std::vector<desk::ImportChoice>& choices) {
  json all = json::array();
  for (const desk::ImportChoice& choice : choices) all.push_back({{"value", choice.value}, {"name", choice.name}});
  return all;
}

json field_of(const desk::ImportField& field, const std::vector<desk::ImportChoice>& choices) {
  const std::string_view unit = field.quantity ? exchange::kept_unit(*field.quantity) : std::string_view();
  return {{"name", field.name},
          {"label", field.label},
          {"what", field.what},
          {"required", field.required},
          {"unit", unit.empty() ? json(nullptr) : json(unit)},
          {"for_all_only", field.only_for_all},
          {"choices", choices.empty() ? json(nullptr) : choices_of(choices)}};
}

json rejected_of(const desk::ImportPreview& preview) {
  json all = json::array();
  for (const desk::ImportRejection& rejection : preview.rejected) {
    all.push_back({{"row", rejection.row},
                   {"field", rejection.field.empty() ? json(nullptr) : json(rejection.field)},
                   {"text", rejection.text},
                   {"what", rejection.what},
                   {"remedy", rejection.remedy}});
  }
  return all;
}

json understood_of(const desk::ImportPreview& preview) {
  json all = json::array();
  for (const desk::UnderstoodRow& row : preview.understood) {
    json values = json::object();
    for (const auto& [field, text] : row.values) values[field] = text;
    all.push_back({{"row", row.row}, {"values", values}});
  }
  return all;
}

}  // namespace

desk::ImportSettings import_settings(std::string_view document) { return SettingsReader(document).read(); }

std::string import_preview_json(const ImportDraft& draft, const desk::ImportPreview& preview) {
  const desk::ImportPlan& plan = preview.plan;
  json fields = json::array();
  json columns = json::object();
  json constants = json::object();
  for (std::size_t i = 0; i < plan.fields.size(); ++i) {
    const desk::PlannedField& planned = plan.fields[i];
    const std::string name(planned.field->name);
    fields.push_back(field_of(*planned.field, preview.choices[i]));
    columns[name] = planned.column ? json(*planned.column) : json(nullptr);
    constants[name] = planned.constant ? json(*planned.constant) : json(nullptr);
  }
  json questions = json::array();
  for (const desk::ImportQuestion& question : plan.questions) {
    questions.push_back({{"asks", desk::word(question.asks)},
                         {"field", question.field.empty() ? json(nullptr) : json(question.field)},
                         {"sentence", question.sentence},
                         {"choices", choices_of(question.choices)}});
  }
  const exchange::Sheet& sheet = *draft.sheet;
  const json document{{"id", draft.id},
                      {"kind", desk::word(plan.kind)},
                      {"file_name", draft.file_name},
                      {"encoding", sheet.encoding()},
                      {"delimiter", std::string(1, sheet.delimiter())},
                      {"rows", sheet.rows()},
                      {"columns", columns_of(sheet)},
                      {"fields", fields},
                      {"columns_of", columns},
                      {"constants", constants},
                      {"date_order", plan.date_order ? json(exchange::word(*plan.date_order)) : json(nullptr)},
                      {"decimal_mark", plan.decimal_mark ? json(exchange::word(*plan.decimal_mark)) : json(nullptr)},
                      {"questions", questions},
                      {"accepted", preview.accepted},
                      {"already", preview.already},
                      {"left_out", preview.left_out},
                      {"rejected", rejected_of(preview)},
                      {"rejected_rows", preview.rejected_rows},
                      {"understood", understood_of(preview)}};
  return document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n";
}

}  // namespace throughcure::service
