#include "throughcure/desk/values_in_force.hpp"

#include "throughcure/base/number_text.hpp"

namespace throughcure::desk {

namespace {

std::string value_text(const PolicyEntry& entry, double number) {
  if (entry.name.find("share") != std::string_view::npos) return base::number_text(100 * number) + " %";
  return base::number_text(number) + (entry.unit.empty() ? "" : " ") + std::string(entry.unit);
}

std::string origin_text(std::string_view origin, std::string_view source) {
  return std::string(origin) + (source.empty() ? "" : ": ") + std::string(source);
}

}  // namespace

std::vector<ValueInForce> values_in_force(const Policy& policy) {
  std::vector<ValueInForce> values;
  for (const PolicyEntry& entry : policy_entries()) {
    if (entry.name.ends_with("_chance")) continue;
    const store::Kept<practice::Setting>* const chosen = policy.chosen(entry.name);
    values.push_back({std::string(entry.what), value_text(entry, policy[entry.name]),
                      chosen == nullptr ? origin_text(entry.origin, entry.source)
                                        : origin_text(chosen->record.origin, chosen->record.source)});
  }
  return values;
}

}  // namespace throughcure::desk
