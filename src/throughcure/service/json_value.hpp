// Values that may be missing, as JSON has them.
#pragma once

#include <optional>

#include <nlohmann/json.hpp>

#include "throughcure/base/instant.hpp"

namespace throughcure::service {

template <class Value>
nlohmann::json or_null(const std::optional<Value>& value) {
  return value ? nlohmann::json(*value) : nlohmann::json(nullptr);
}

inline nlohmann::json or_null(const std::optional<base::Instant>& at) {
  return at ? nlohmann::json(base::instant_text(*at)) : nlohmann::json(nullptr);
}

}  // namespace throughcure::service
