#include "throughcure/exchange/validation_file.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/exchange/validation_question.hpp"

namespace throughcure::exchange {

namespace {

constexpr Count kRows{.at_least = 1, .at_most = 1000};
constexpr Limits kError{.at_least = 0};

/// Text of the row, or else of the whole study; empty where neither says it.
std::string text_of(const TomlTable& study, const TomlTable& row, std::string_view key) {
  return (row.has(key) ? row : study).optional_text(key).value_or("");
}

/// A row that does not count says why; one that counts rests on more than somebody's memory.
void check_counting(const TomlTable& table, const ValidationRow& row) {
  if (row.counted && row.provenance.kind == base::Kind::kFromMemory) {
    table.refuse("counted", "a number from memory must not count", "Say counted = false, with why_not");
  }
  if (row.counted && std::holds_alternative<NotYetQuestion>(row.question)) {
    table.refuse("counted", "an experiment that is not simulated must not count", "Say counted = false, with why_not");
  }
  if (row.counted && !row.why_not.empty()) {
    table.refuse("why_not", "is given for a row that counts", "Leave it out, or say counted = false");
  }
  if (!row.counted && row.why_not.empty()) {
    table.refuse("counted", "false has no reason", "Say why the row does not count: why_not = \"...\"");
  }
}

}  // namespace

std::vector<ValidationRow> read_validation(std::string_view toml, std::string name) {
  TomlDocument document = TomlDocument::parse(toml, std::move(name));
  const TomlTable study = document.root();
  const std::string id = study.text("id");
  const std::string group = study.choice("group", {"transport", "beam", "optics", "cure"});
  const base::Provenance provenance = read_provenance(study);
  std::vector<ValidationRow> rows;
  for (const TomlTable& table : study.tables("rows", kRows)) {
    ValidationRow row{
        .id = id + "/" + table.text("name"),
        .group = group,
        .provenance = read_provenance(table, provenance),
        .published = table.number("published"),
        .error = (table.has("error") ? table : study).optional_number("error", kError).value_or(0),
        .rounding = (table.has("rounding") ? table : study).optional_number("rounding", kError).value_or(0),
        .counted = (table.has("counted") ? table : study).optional_flag("counted").value_or(true),
        .why_not = text_of(study, table, "why_not"),
        .missing = text_of(study, table, "missing"),
        .conditioned_on = text_of(study, table, "conditioned_on"),
        .question = read_question(study, table)};
    check_counting(table, row);
    if (std::ranges::find(rows, row.id, &ValidationRow::id) != rows.end()) {
      table.refuse("name", "there is another row of that name", "Give each row a name of its own");
    }
    rows.push_back(std::move(row));
  }
  base::refuse_if_any(document.finish());
  return rows;
}

}  // namespace throughcure::exchange
