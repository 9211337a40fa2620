#include "throughcure/store/logged_text.hpp"

#include <cstdint>

#include "throughcure/base/number_text.hpp"

namespace throughcure::store {

std::optional<std::string> logged_text(const base::Value& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return std::to_string(*whole);
  if (const auto* real = std::get_if<double>(&value)) return base::number_text(*real);
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  return std::nullopt;
}

}  // namespace throughcure::store
