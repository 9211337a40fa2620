#include "throughcure/exchange/reference_hand.hpp"

#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/sourced_number.hpp"

namespace throughcure::exchange {

namespace {

plan::Hand read_hand() {
  const TomlDocument file = reference_document("hand");
  const TomlTable hand = file.root().table("hand");
  plan::Hand known{.standoff_sd_mm = sourced_number(hand, "standoff_sd", {.at_least = 0, .unit = "mm"}),
                   .tilt_sd_deg = sourced_number(hand, "tilt_sd", {.at_least = 0, .unit = "deg"}),
                   .wander_sd_mm = sourced_number(hand, "wander_sd", {.at_least = 0, .unit = "mm"})};
  base::refuse_if_any(file.problems());
  return known;
}

}  // namespace

const plan::Hand& reference_hand() {
  static const plan::Hand known = read_hand();
  return known;
}

}  // namespace throughcure::exchange
