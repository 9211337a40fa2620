#include "throughcure/service/record_json.hpp"

#include <algorithm>
#include <charconv>

#include <nlohmann/json.hpp>

#include "throughcure/base/instant.hpp"

namespace throughcure::service {

namespace {

using base::Column;
using base::Meaning;
using base::Value;
using base::ValueType;
using Json = nlohmann::json;

Json json_of(const Column& column, const Value& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    if (column.meaning == Meaning::kYesNo) return *whole != 0;
    if (column.meaning == Meaning::kInstant) return base::instant_text({*whole});
    return *whole;
  }
  if (const auto* real = std::get_if<double>(&value)) return *real;
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  return nullptr;
}

void add(base::Problems& problems, const store::Table& table, std::string_view field, std::string what,
         std::string remedy) {
  problems.push_back({.file = std::string(table.kind),
                      .field = std::string(field),
                      .what = std::move(what),
                      .remedy = std::move(remedy)});
}

/// A value that stands for "none was given" where one must be, so that other problems are found too.
Value empty_of(const Column& column) {
  if (column.optional) return {};
  if (column.type == ValueType::kWhole) return std::int64_t{0};
  if (column.type == ValueType::kReal) return 0.0;
  return std::string(column.words.empty() ? std::string_view() : column.words.front());
}

std::string words_of(const Column& column) {
  std::string list;
  for (const std::string_view word : column.words) list.append(list.empty() ? "" : ", ").append(word);
  return list;
}

/// The value, or nothing where it is of another sort; `wanted` says of which it must be.
std::optional<Value> read_value(const Column& column, const Json& json, std::string& wanted) {
  switch (column.type) {
    case ValueType::kText:
      wanted = column.words.empty() ? "a text" : "one of " + words_of(column);
      if (!json.is_string()) return std::nullopt;
      if (!column.words.empty() && std::ranges::find(column.words, json.get<std::string>()) == column.words.end()) {
        return std::nullopt;
      }
      return json.get<std::string>();
    case ValueType::kReal:
      wanted = "a number";
      if (!json.is_number()) return std::nullopt;
      return json.get<double>();
    case ValueType::kWhole:
      break;
  }
  if (column.meaning == Meaning::kYesNo) {
    wanted = "true or false";
    if (!json.is_boolean()) return std::nullopt;
    return std::int64_t{json.get<bool>() ? 1 : 0};
  }
  if (column.meaning == Meaning::kInstant) {
    wanted = "an instant, as \"2026-11-26T23:40:00Z\"";
    if (!json.is_string()) return std::nullopt;
    const auto at = read_instant(json.get<std::string>());
    if (!at) return std::nullopt;
    return at->us;
  }
  wanted = "a whole number";
  // Beyond what a double holds exactly, a browser would have changed it on the way.
  if (!json.is_number_integer() || (json.is_number_unsigned() && json.get<std::uint64_t>() > INT64_MAX)) {
    return std::nullopt;
  }
  return json.get<std::int64_t>();
}

/// Digits only; nothing where there is anything else.
std::optional<int> number_in(std::string_view text) {
  int number = 0;
  const bool digits = !text.empty() && std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
  if (!digits || std::from_chars(text.data(), text.data() + text.size(), number).ec != std::errc()) return std::nullopt;
  return number;
}

}  // namespace

std::string record_json(const store::Table& table, const std::vector<Value>& values) {
  Json document = Json::object();
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    document[std::string(table.columns[i].name)] = json_of(table.columns[i], values[i]);
  }
  return document.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::vector<Value> record_values(const store::Table& table, std::string_view document, base::Problems& problems) {
  std::vector<Value> values;
  values.reserve(table.columns.size());
  for (const Column& column : table.columns) values.push_back(empty_of(column));
  const Json json = Json::parse(document, nullptr, false);
  if (!json.is_object()) {
    add(problems, table, "", "the body is no JSON object", "Send the record as one");
    return values;
  }
  for (const auto& [key, value] : json.items()) {
    if (std::ranges::find(table.columns, key, &Column::name) == table.columns.end()) {
      add(problems, table, key, "a " + std::string(table.kind) + " has no such field", "Leave it out");
    }
  }
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const Column& column = table.columns[i];
    const auto at = json.find(std::string(column.name));
    if (at == json.end() || at->is_null()) {
      if (!column.optional) add(problems, table, column.name, "it is missing", "Give it");
      continue;
    }
    std::string wanted;
    if (auto value = read_value(column, *at, wanted)) {
      values[i] = *std::move(value);
    } else {
      add(problems, table, column.name, "it is not " + wanted, "Give " + wanted);
    }
  }
  return values;
}

std::optional<base::Instant> read_instant(std::string_view text) {
  // Brought to what parse_instant takes: six digits of a second and Z.
  constexpr std::size_t whole = std::string_view("2026-11-26T23:40:00").size();
  constexpr std::size_t most_digits = 6;
  if (text.size() <= whole) return std::nullopt;
  const std::string plain(text.substr(0, whole));
  std::string_view rest = text.substr(whole);
  std::string digits;
  if (rest.front() == '.') {
    const std::size_t end = std::min(rest.find_first_not_of("0123456789", 1), rest.size());
    digits = rest.substr(1, end - 1);
    rest = rest.substr(end);
    if (digits.empty() || digits.size() > most_digits) return std::nullopt;
  }
  digits.resize(most_digits, '0');
  const auto local = base::parse_instant(plain + "." + digits + "Z");
  if (!local) return std::nullopt;
  if (rest == "Z" || rest == "z") return local;
  // "+02:00"
  if (rest.size() != 6 || (rest[0] != '+' && rest[0] != '-') || rest[3] != ':') return std::nullopt;
  const auto hours = number_in(rest.substr(1, 2));
  const auto minutes = number_in(rest.substr(4, 2));
  if (!hours || !minutes || *hours > 23 || *minutes > 59) return std::nullopt;
  const std::chrono::minutes offset{*hours * 60 + *minutes};
  return rest[0] == '+' ? *local - offset : *local + offset;
}

std::string record_schema(const store::Table& table) {
  Json properties = Json::object();
  Json required = Json::array();
  for (const Column& column : table.columns) {
    Json schema;
    if (column.type == ValueType::kReal) {
      schema["type"] = "number";
    } else if (column.type == ValueType::kText || column.meaning == Meaning::kInstant) {
      schema["type"] = "string";
    } else {
      schema["type"] = column.meaning == Meaning::kYesNo ? "boolean" : "integer";
    }
    if (column.meaning == Meaning::kInstant) schema["format"] = "date-time";
    if (!column.words.empty()) schema["enum"] = column.words;
    if (!column.refers_to.empty()) schema["description"] = "number of a " + std::string(column.refers_to);
    if (column.optional) {
      schema["type"] = {schema["type"], "null"};
      if (schema.contains("enum")) schema["enum"].push_back(nullptr);
    } else {
      required.push_back(column.name);
    }
    properties[std::string(column.name)] = std::move(schema);
  }
  return Json{{"type", "object"}, {"properties", properties}, {"required", required}, {"additionalProperties", false}}
      .dump();
}

}  // namespace throughcure::service
