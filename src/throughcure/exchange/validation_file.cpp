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

constexpr std::string_view kNotSimulated = "nothing simulates this study";

/// Rows of the study that a row is conditioned on, by name; empty where it says what it rests on in words, or nothing.
std::vector<std::string> given_of(const TomlTable& row) {
  if (row.shape("conditioned_on") != Shape::kOtherArray) return {};
  return row.texts("conditioned_on", {.at_least = 1, .at_most = 100});
}

/// What a row is conditioned on must be other rows of the study that are scrape tests, as it is itself: only these can
/// be facts of an ensemble.
void check_given(const std::vector<TomlTable>& tables, std::vector<ValidationRow>& rows, const std::string& study) {
  for (std::size_t i = 0; i < rows.size(); ++i) {
    for (std::string& name : rows[i].given) {
      std::string id = study;
      id.append("/").append(name);
      const auto other = std::ranges::find(rows, id, &ValidationRow::id);
      if (other == rows.end() || other->id == rows[i].id) {
        tables[i].refuse("conditioned_on", "'" + name + "' is no other row of this study", "Name rows of this file");
      } else if (!std::holds_alternative<ScrapeQuestion>(other->question) ||
                 !std::holds_alternative<ScrapeQuestion>(rows[i].question)) {
        tables[i].refuse("conditioned_on", "'" + name + "' or the row itself is no scrape test",
                         "Condition scrape tests on scrape tests");
      } else {
        rows[i].conditioned_on += (rows[i].conditioned_on.empty() ? "" : "; ") + name;
        name = other->id;
      }
    }
  }
}

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
  const std::vector<TomlTable> tables = study.tables("rows", kRows);
  for (const TomlTable& table : tables) {
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
        .conditioned_on = {},
        .given = given_of(table),
        .question = read_question(study, table)};
    if (row.given.empty()) row.conditioned_on = text_of(study, table, "conditioned_on");
    if (table.optional_flag("starred").value_or(false) && row.counted) {
      table.refuse("starred", "a row whose reading is in doubt must not count", "Say counted = false, with why_not");
    }
    check_counting(table, row);
    if (std::holds_alternative<NotYetQuestion>(row.question)) {
      simulated = false;
      if (row.counted) row.why_not = kNotSimulated;
      row.counted = false;
    }
    if (std::ranges::find(rows, row.id, &ValidationRow::id) != rows.end()) {
      table.refuse("name", "there is another row of that name", "Give each row a name of its own");
    }
    rows.push_back(std::move(row));
  }
  check_given(tables, rows, id);
  // The keys of an experiment that nothing simulates are used by nothing.
  base::refuse_if_any(simulated ? document.finish() : document.problems());
  return rows;
}

}  // namespace throughcure::exchange
