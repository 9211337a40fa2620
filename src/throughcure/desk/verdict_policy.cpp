#include "throughcure/desk/verdict_policy.hpp"

#include <string_view>

#include "throughcure/base/number_text.hpp"

namespace throughcure::desk {

namespace {

constexpr std::string_view kThrough = "through_cured_chance";
constexpr std::string_view kUnder = "under_cured_chance";

base::Sourced in_force(const Policy& chosen, std::string_view name, const base::Sourced& delivered) {
  const store::Kept<practice::Setting>* const setting = chosen.chosen(name);
  if (setting == nullptr) return delivered;
  base::Sourced number = delivered;
  number.value = setting->record.number;
  number.kind = base::Kind::kCommonPractice;
  number.source = "chosen here: " + setting->record.source;
  number.note.clear();
  return number;
}

}  // namespace

cure::Policy verdict_policy(const Policy& chosen, const cure::Policy& delivered) {
  return {.through_cured_from = in_force(chosen, kThrough, delivered.through_cured_from),
          .under_cured_to = in_force(chosen, kUnder, delivered.under_cured_to)};
}

base::Problems verdict_policy_problems(const Policy& chosen) {
  const double through = chosen[kThrough];
  const double under = chosen[kUnder];
  if (through >= under) return {};
  return {{.file = {},
           .field = "number",
           .what = "a restoration would count as cured through from " + base::number_text(through) +
                   ", and as under-cured up to " + base::number_text(under),
           .remedy = "Choose a number that does not go past the other one, or change that one first"}};
}

}  // namespace throughcure::desk
