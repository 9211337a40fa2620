// Keys of one row of a study, and behind them those of the study itself.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

/// What is said once for a study holds for every row that does not say otherwise.
struct Asked {
  const TomlTable& study;
  const TomlTable& row;

  [[nodiscard]] const TomlTable& at(std::string_view key) const { return row.has(key) ? row : study; }
  [[nodiscard]] double number(std::string_view key, const Limits& limits) const { return at(key).number(key, limits); }
  [[nodiscard]] std::optional<double> optional(std::string_view key, const Limits& limits) const {
    return at(key).optional_number(key, limits);
  }
  [[nodiscard]] double number_or(std::string_view key, const Limits& limits, double otherwise) const {
    return optional(key, limits).value_or(otherwise);
  }
  [[nodiscard]] std::int64_t whole_or(std::string_view key, std::int64_t at_least, std::int64_t at_most,
                                      std::int64_t otherwise) const {
    return at(key).optional_whole(key, at_least, at_most).value_or(otherwise);
  }
};

}  // namespace throughcure::exchange
