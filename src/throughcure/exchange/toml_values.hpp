// Single values of a TOML file as numbers, texts, words: each within its limits, or a problem of the file.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/exchange/limits.hpp"
#include "throughcure/exchange/toml_state.hpp"
#include "throughcure/exchange/toml_table.hpp"

namespace throughcure::exchange {

/// Each of these adds a problem to the file, and returns nothing, where the value is none that `wanted_text` asks for.
/// A value that is not there is nothing too, without a problem.
std::optional<double> number_of(TomlState& state, const TomlValue& value, const Limits& limits);
std::optional<std::int64_t> whole_of(TomlState& state, const TomlValue& value, std::int64_t at_least,
                                     std::int64_t at_most, const std::string& wanted_text);
std::optional<std::string> text_of(TomlState& state, const TomlValue& value, const std::string& wanted_text);
std::optional<bool> flag_of(TomlState& state, const TomlValue& value, const std::string& wanted_text);
/// The place of a text among the words.
std::optional<std::size_t> word_of(TomlState& state, const TomlValue& value, const std::vector<std::string_view>& words,
                                   const std::string& wanted_text);
/// An array whose length is right; else null.
const toml::array* array_of(TomlState& state, const TomlValue& value, Count count, const std::string& wanted_text);

/// Every element of an array by `read(element)`; nothing when any of them is wrong.
template <class T, class Read>
std::optional<std::vector<T>> elements_of(TomlState& state, const TomlValue& value, Count count,
                                          const std::string& wanted_text, const Read& read) {
  const toml::array* nodes = array_of(state, value, count, wanted_text);
  if (nodes == nullptr) return std::nullopt;
  std::vector<T> values;
  std::size_t place = 0;
  for (const toml::node& node : *nodes) {
    auto element = read(TomlValue{&node, value.field + '[' + std::to_string(++place) + ']'});
    if (element) values.push_back(*std::move(element));
  }
  if (values.size() != place) return std::nullopt;
  return values;
}

}  // namespace throughcure::exchange
