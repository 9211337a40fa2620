#include "throughcure/exchange/toml_plain.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "throughcure/exchange/field_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostLevels = 16;

std::optional<PlainValue> plain_value(TomlState& state, const TomlValue& value, std::size_t level);

PlainTable plain_table(TomlState& state, const toml::table& table, const std::string& field, std::size_t level) {
  std::vector<std::pair<const toml::key*, const toml::node*>> members;
  for (const auto& [key, node] : table) members.emplace_back(&key, &node);
  std::ranges::sort(members, {}, [](const auto& member) { return member.first->source().begin; });
  PlainTable plain;
  for (const auto& [key, node] : members) {
    if (auto value = plain_value(state, {node, joined_field(field, key->str())}, level)) {
      plain.push_back({std::string(key->str()), *std::move(value)});
    }
  }
  return plain;
}

PlainList plain_list(TomlState& state, const toml::array& array, const std::string& field, std::size_t level) {
  PlainList list;
  for (const toml::node& element : array) {
    auto value = plain_value(state, {&element, field + '[' + std::to_string(list.size() + 1) + ']'}, level);
    if (value) list.push_back(*std::move(value));
  }
  return list;
}

std::optional<PlainValue> plain_value(TomlState& state, const TomlValue& value, std::size_t level) {
  const toml::node& node = *value.node;
  if (level >= kMostLevels) {
    state.add(node.source(), value.field, "more than " + std::to_string(kMostLevels) + " levels", "Give fewer");
    return std::nullopt;
  }
  if (const toml::table* table = node.as_table()) {
    return PlainValue{plain_table(state, *table, value.field, level + 1)};
  }
  if (const toml::array* array = node.as_array()) return PlainValue{plain_list(state, *array, value.field, level + 1)};
  if (auto text = node.value_exact<std::string>()) return PlainValue{*std::move(text)};
  if (const auto flag = node.value_exact<bool>()) return PlainValue{*flag};
  if (const auto whole = node.value_exact<std::int64_t>()) return PlainValue{*whole};
  if (const auto number = node.value_exact<double>(); number && std::isfinite(*number)) return PlainValue{*number};
  state.wrong_kind(value, "text, true or false, or a number that can be used");
  return std::nullopt;
}

}  // namespace

PlainTable plain_table(TomlState& state) { return plain_table(state, state.root(), "", 1); }

}  // namespace throughcure::exchange
