#include "throughcure/exchange/toml_values.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/exchange/field_text.hpp"

namespace throughcure::exchange {

namespace {

constexpr std::size_t kMostTextBytes = 2000;

/// What is wrong with a text; empty where nothing is.
std::string against_text(const std::string& text) {
  const auto is_control = [](unsigned char c) { return c < 0x20 || c == 0x7f; };
  if (text.empty()) return "the text is empty";
  if (text.size() > kMostTextBytes) {
    return "the text has " + std::to_string(text.size()) + " bytes, more than " + std::to_string(kMostTextBytes);
  }
  return std::ranges::any_of(text, is_control) ? "the text holds a control character or a line break" : "";
}

}  // namespace

std::optional<double> number_of(TomlState& state, const TomlValue& value, const Limits& limits) {
  if (value.node == nullptr) return std::nullopt;
  const auto number = value.node->value_exact<double>();
  const auto whole = value.node->value_exact<std::int64_t>();
  if (!number && !whole) {
    state.wrong_kind(value, wanted(limits));
    return std::nullopt;
  }
  const double given = number ? *number : static_cast<double>(*whole);
  if (auto what = against_limits(given, limits)) {
    state.add(value.node->source(), value.field, *std::move(what), "Give " + wanted(limits));
    return std::nullopt;
  }
  return given;
}

std::optional<std::int64_t> whole_of(TomlState& state, const TomlValue& value, std::int64_t at_least,
                                     std::int64_t at_most, const std::string& wanted_text) {
  if (value.node == nullptr) return std::nullopt;
  const auto whole = value.node->value_exact<std::int64_t>();
  if (!whole) {
    state.wrong_kind(value, wanted_text);
    return std::nullopt;
  }
  if (*whole >= at_least && *whole <= at_most) return whole;
  state.add(value.node->source(), value.field,
            std::to_string(*whole) + " is outside " + std::to_string(at_least) + " to " + std::to_string(at_most),
            "Give " + wanted_text);
  return std::nullopt;
}

std::optional<std::string> text_of(TomlState& state, const TomlValue& value, const std::string& wanted_text) {
  if (value.node == nullptr) return std::nullopt;
  auto text = value.node->value_exact<std::string>();
  if (!text) {
    state.wrong_kind(value, wanted_text);
    return std::nullopt;
  }
  std::string what = against_text(*text);
  if (what.empty()) return text;
  state.add(value.node->source(), value.field, std::move(what), "Give " + wanted_text);
  return std::nullopt;
}

std::optional<bool> flag_of(TomlState& state, const TomlValue& value, const std::string& wanted_text) {
  if (value.node == nullptr) return std::nullopt;
  const auto flag = value.node->value_exact<bool>();
  if (!flag) state.wrong_kind(value, wanted_text);
  return flag;
}

std::optional<std::size_t> word_of(TomlState& state, const TomlValue& value, const std::vector<std::string_view>& words,
                                   const std::string& wanted_text) {
  const auto text = text_of(state, value, wanted_text);
  if (!text) return std::nullopt;
  const auto place = std::ranges::find(words, std::string_view(*text));
  if (place != words.end()) return static_cast<std::size_t>(place - words.begin());
  state.add(value.node->source(), value.field, "\"" + shown_value(*value.node) + "\" is not known here",
            "Give " + wanted_text);
  return std::nullopt;
}

const toml::array* array_of(TomlState& state, const TomlValue& value, Count count, const std::string& wanted_text) {
  if (value.node == nullptr) return nullptr;
  const toml::array* elements = value.node->as_array();
  if (elements == nullptr) {
    state.wrong_kind(value, wanted_text);
    return nullptr;
  }
  if (elements->size() >= count.at_least && elements->size() <= count.at_most) return elements;
  state.add(value.node->source(), value.field,
            std::to_string(elements->size()) + " given, where " + std::to_string(count.at_least) + " to " +
                std::to_string(count.at_most) + " may be",
            "Give " + wanted_text);
  return nullptr;
}

}  // namespace throughcure::exchange
