// Holds a document against a JSON Schema, as far as the API's description uses it: type, enum, properties, required,
// additionalProperties, items, oneOf, $ref.
#pragma once

#include <algorithm>
#include <string>

#include <nlohmann/json.hpp>

namespace throughcure::tests {

inline bool is_of_type(const std::string& type, const nlohmann::json& value) {
  return (type == "string" && value.is_string()) || (type == "number" && value.is_number()) ||
         (type == "integer" && value.is_number_integer()) || (type == "boolean" && value.is_boolean()) ||
         (type == "null" && value.is_null()) || (type == "object" && value.is_object()) ||
         (type == "array" && value.is_array());
}

/// A place within another one.
inline std::string within(std::string at, const std::string& part) { return at.append(part); }

/// The first thing in which `value` is not as `schema` says, with its place; empty: nothing.
inline std::string schema_fault(const nlohmann::json& document, const nlohmann::json& schema,
                                const nlohmann::json& value, const std::string& at) {
  if (schema.contains("$ref")) {
    const std::string pointer = schema["$ref"].get<std::string>().substr(1);
    return schema_fault(document, document.at(nlohmann::json::json_pointer(pointer)), value, at);
  }
  if (schema.contains("oneOf")) {
    std::string last;
    for (const auto& one : schema["oneOf"]) {
      last = schema_fault(document, one, value, at);
      if (last.empty()) return {};
    }
    return last;
  }
  if (schema.contains("type")) {
    const nlohmann::json types = schema["type"].is_array() ? schema["type"] : nlohmann::json::array({schema["type"]});
    const bool fits =
        std::any_of(types.begin(), types.end(), [&](const auto& type) { return is_of_type(type, value); });
    if (!fits) return at + " is not of type " + types.dump();
  }
  if (schema.contains("enum") &&
      std::find(schema["enum"].begin(), schema["enum"].end(), value) == schema["enum"].end()) {
    return at + " is none of " + schema["enum"].dump();
  }
  if (value.is_array() && schema.contains("items")) {
    for (std::size_t i = 0; i < value.size(); ++i) {
      std::string fault = schema_fault(document, schema["items"], value[i], within(at, "[" + std::to_string(i) + "]"));
      if (!fault.empty()) return fault;
    }
  }
  if (!value.is_object() || !schema.contains("properties")) return {};
  for (const auto& name : schema["required"]) {
    if (!value.contains(name.get<std::string>())) return within(at, " lacks " + name.get<std::string>());
  }
  for (const auto& [name, part] : value.items()) {
    if (!schema["properties"].contains(name)) return within(at, " has " + name + ", which is not described");
    std::string fault = schema_fault(document, schema["properties"][name], part, within(at, "." + name));
    if (!fault.empty()) return fault;
  }
  return {};
}

}  // namespace throughcure::tests
