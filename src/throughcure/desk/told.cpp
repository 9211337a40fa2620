#include "throughcure/desk/told.hpp"

#include <array>
#include <string_view>

#include "throughcure/base/number_text.hpp"

namespace throughcure::desk {

std::string limits_of_checks(const Policy& policy) {
  constexpr std::array<std::string_view, 6> judging = {"lower_limit_mw_cm2",   "upper_caution_mw_cm2",
                                                       "alert_share",          "action_share",
                                                       "confirm_within_hours", "full_battery_share"};
  std::string text;
  for (const std::string_view name : judging) {
    text.append(text.empty() ? "" : ", ").append(name).append(" ").append(base::number_text(policy[name]));
  }
  return text;
}

fleet::ReadingEntry as_told(fleet::ReadingEntry reading, const CheckAnswer& answer, const Policy& policy) {
  reading.told = answer.verdict;
  reading.told_share = answer.share;
  reading.told_baseline_mw_cm2 = answer.baseline_mw_cm2;
  // A reading that does not count was judged by none of them.
  reading.told_limits = answer.share ? std::optional(limits_of_checks(policy)) : std::nullopt;
  return reading;
}

}  // namespace throughcure::desk
