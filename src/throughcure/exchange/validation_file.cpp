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

/// A row may name a source of its own that is of the study's kind; a kind of its own needs its source beside it.
base::Provenance provenance_of(const TomlTable& row, const base::Provenance& study) {
  if (row.has("source") && !row.has("kind")) return {study.kind, row.text("source")};
  return read_provenance(row, study);
}

constexpr std::string_view kNotYet = "no simulation of this study yet";

/// A row that does not count says why; one that counts rests on more than somebody's memory.
void check_counting(const TomlTable& table, const ValidationRow& row) {
  if (row.counted && row.provenance.kind == base::Kind::kFromMemory) {
    table.refuse("counted", "a number from memory must not count", "Say counted = false, with why_not");
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
  bool simulated = true;
  for (const TomlTable& table : study.tables("rows", kRows)) {
    ValidationRow row{
        .id = id + "/" + table.text("name"),
        .group = group,
        .provenance = provenance_of(table, provenance),
        .published = table.number("published"),
        .error = (table.has("error") ? table : study).optional_number("error", kError).value_or(0),
        .rounding = (table.has("rounding") ? table : study).optional_number("rounding", kError).value_or(0),
        .counted = (table.has("counted") ? table : study).optional_flag("counted").value_or(true),
        .why_not = text_of(study, table, "why_not"),
        .missing = text_of(study, table, "missing"),
        .conditioned_on = text_of(study, table, "conditioned_on"),
        .question = read_question(study, table)};
    check_counting(table, row);
    if (std::holds_alternative<NotYetQuestion>(row.question)) {
      simulated = false;
      if (row.counted) row.why_not = kNotYet;
      row.counted = false;
    }
    if (std::ranges::find(rows, row.id, &ValidationRow::id) != rows.end()) {
      table.refuse("name", "there is another row of that name", "Give each row a name of its own");
    }
    rows.push_back(std::move(row));
  }
  // The keys of an experiment that nothing simulates are used by nothing yet.
  base::refuse_if_any(simulated ? document.finish() : document.problems());
  return rows;
}

}  // namespace throughcure::exchange
