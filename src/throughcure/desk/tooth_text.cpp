#include "throughcure/desk/tooth_text.hpp"

#include "throughcure/anatomy/tooth_number.hpp"
#include "throughcure/base/number_text.hpp"

namespace throughcure::desk {

bool is_primary(std::int64_t number) {
  const std::int64_t quadrant = number / 10;
  const std::int64_t position = number % 10;
  return quadrant >= 5 && quadrant <= 8 && position >= 1 && position <= 5;
}

std::optional<std::string> iso_tooth(std::string_view text) {
  const auto from = text.find_first_not_of(' ');
  if (from == std::string_view::npos) return std::nullopt;
  const auto number = base::whole_number(text.substr(from, text.find_last_not_of(' ') - from + 1));
  if (!number || *number < 11 || *number > 85) return std::nullopt;
  if (is_primary(*number) || anatomy::ToothNumber::from_iso(static_cast<int>(*number))) return std::to_string(*number);
  return std::nullopt;
}

}  // namespace throughcure::desk
