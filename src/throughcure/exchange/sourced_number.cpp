#include "throughcure/exchange/sourced_number.hpp"

#include <utility>

#include "throughcure/base/number_text.hpp"

namespace throughcure::exchange {

namespace {

using base::Kind;
using base::number_text;

Kind read_kind(const TomlTable& table) {
  return table.choice<Kind>("kind", {{word(Kind::kPublished), Kind::kPublished},
                                     {word(Kind::kStandard), Kind::kStandard},
                                     {word(Kind::kDerived), Kind::kDerived},
                                     {word(Kind::kCommonPractice), Kind::kCommonPractice},
                                     {word(Kind::kFromMemory), Kind::kFromMemory},
                                     {word(Kind::kInvented), Kind::kInvented}});
}

/// The number and its range, without unit and provenance.
base::Sourced read_range(const TomlTable& entry, const Limits& limits) {
  base::Sourced number{.value = entry.number("value", limits),
                       .low = entry.optional_number("low", limits),
                       .high = entry.optional_number("high", limits),
                       .sd = entry.optional_number("sd", {.at_least = 0, .unit = limits.unit}),
                       .unit = std::string(limits.unit.empty() ? "1" : limits.unit),
                       .note = entry.optional_text("note").value_or("")};
  if (number.low && *number.low > number.value) {
    entry.refuse("low", number_text(*number.low) + " is above the value, " + number_text(number.value),
                 "Give the lower end of its range");
  }
  if (number.high && *number.high < number.value) {
    entry.refuse("high", number_text(*number.high) + " is below the value, " + number_text(number.value),
                 "Give the upper end of its range");
  }
  return number;
}

base::Sourced with_provenance(base::Sourced number, base::Provenance provenance) {
  number.kind = provenance.kind;
  number.source = std::move(provenance.source);
  return number;
}

void walk(const TomlTable& table) {
  bool holds_number = false;
  for (const std::string& key : table.keys()) {
    switch (table.shape(key)) {
      case Shape::kTable:
        walk(table.table(key));
        break;
      case Shape::kTables:
        for (const TomlTable& element : table.tables(key)) walk(element);
        break;
      case Shape::kNumber:
        holds_number = true;
        break;
      case Shape::kOtherArray:
        table.refuse(key, "an array that holds something else than tables",
                     "Give each number as a table with value, unit, kind and source");
        break;
      case Shape::kOther:
        break;
      case Shape::kAbsent:  // a quoted key with a dot in it
        table.refuse("", "the key \"" + key + "\" cannot be named", "Give it a name without a dot");
        break;
    }
  }
  if (holds_number) (void)read_provenance(table);
}

}  // namespace

base::Provenance read_provenance(const TomlTable& table) {
  base::Provenance provenance{.kind = read_kind(table), .source = table.text_or_empty("source")};
  const bool said = table.has("source") && table.optional_text("kind") == word(provenance.kind);  // no stand-in
  if (provenance.source.empty() && needs_source(provenance.kind) && said) {
    table.refuse("source", "a number that is " + std::string(word(provenance.kind)) + " has no source",
                 "Name where it comes from, or give another kind");
  }
  return provenance;
}

base::Provenance read_provenance(const TomlTable& table, const base::Provenance& otherwise) {
  return table.has("kind") || table.has("source") ? read_provenance(table) : otherwise;
}

base::Sourced ranged_number(const TomlTable& table, std::string_view path, const Limits& limits,
                            const base::Provenance& otherwise) {
  if (auto number = optional_ranged_number(table, path, limits, otherwise)) return *std::move(number);
  return with_provenance({.value = table.number(path, limits), .unit = std::string(limits.unit)}, otherwise);
}

std::optional<base::Sourced> optional_ranged_number(const TomlTable& table, std::string_view path, const Limits& limits,
                                                    const base::Provenance& otherwise) {
  if (table.shape(path) == Shape::kTable) {
    const TomlTable entry = table.table(path);
    return with_provenance(read_range(entry, limits), read_provenance(entry, otherwise));
  }
  const auto value = table.optional_number(path, limits);
  if (!value) return std::nullopt;
  return with_provenance({.value = *value, .unit = std::string(limits.unit.empty() ? "1" : limits.unit)}, otherwise);
}

base::Sourced sourced_number_here(const TomlTable& entry, const Limits& limits) {
  base::Sourced number = read_range(entry, limits);
  const std::string unit = entry.text("unit");
  if (!unit.empty() && unit != number.unit) {
    entry.refuse("unit", "\"" + unit + "\" is not the unit of this number",
                 "Give the number in " + number.unit + ", and that as its unit");
  }
  return with_provenance(std::move(number), read_provenance(entry));
}

base::Sourced sourced_number(const TomlTable& table, std::string_view path, const Limits& limits) {
  return sourced_number_here(table.table(path), limits);
}

std::optional<base::Sourced> optional_sourced_number(const TomlTable& table, std::string_view path,
                                                     const Limits& limits) {
  const auto entry = table.optional_table(path);
  if (!entry) return std::nullopt;
  return sourced_number_here(*entry, limits);
}

base::Problems numbers_without_provenance(std::string_view toml, std::string name) {
  const TomlDocument file = TomlDocument::parse(toml, std::move(name));
  walk(file.root());
  return file.problems();
}

}  // namespace throughcure::exchange
