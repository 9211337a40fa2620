#include "throughcure/desk/policy.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::desk {

namespace {

constexpr std::string_view kPractice = "common practice, no source";

// The reference tells of limits of 200 to 600 mW/cm2 in eight surveys of lights in use: there is no single one.
constexpr std::array<PolicyEntry, 11> kEntries = {{
    {"lower_limit_mw_cm2", 500, 50, 3000, "mW/cm2",
     "Lowest output at which a light may be used, as its radiometer shows", "published",
     "Limit of two surveys of lights in use (Oper Dent 2021;46:271; 1067 lights in 544 clinics); others "
     "used 200 to 600"},
    {"upper_caution_mw_cm2", 2000, 200, 10000, "mW/cm2", "Above this, heat and short exposures want care", kPractice,
     ""},
    {"alert_share", 0.9, 0.5, 1, "", "Share of its baseline below which a light is watched", kPractice, ""},
    {"action_share", 0.8, 0.3, 1, "", "Share of its baseline below which a light is not used", kPractice, ""},
    {"check_every_days", 7, 1, 92, "days", "Days between two checks of a light", "from memory",
     "Weekly to monthly is the usual advice; no study gives the best interval"},
    {"confirm_within_hours", 24, 1, 168, "h", "Hours within which a second failed reading confirms the first",
     kPractice, ""},
    {"full_battery_share", 0.8, 0.1, 1, "", "Charge from which a battery counts as full", kPractice, ""},
    {"good_checks_to_return", 3, 1, 20, "", "Good checks before a withdrawn light is used again", kPractice, ""},
    {"least_share_of_claim", 0.7, 0, 1, "",
     "Share of its maker's claim that a light's first readings must allow for: under it, it is not accepted", kPractice,
     "Ours, to be chosen: hand radiometers are good to about 20 %"},
    {"through_cured_chance", 0.95, 0.5, 1, "", "Chance from which a restoration counts as cured through", kPractice,
     ""},
    {"under_cured_chance", 0.5, 0, 0.95, "", "Chance up to which it counts as under-cured", kPractice, ""},
}};

const PolicyEntry* entry_called(std::string_view name) {
  const auto* const at = std::ranges::find(kEntries, name, &PolicyEntry::name);
  return at == kEntries.end() ? nullptr : at;
}

}  // namespace

std::span<const PolicyEntry> policy_entries() { return kEntries; }

Policy::Policy(const store::Reader& reader) : chosen_(reader.list<practice::Setting>()) {}

const store::Kept<practice::Setting>* Policy::chosen(std::string_view name) const {
  const auto at = std::ranges::find(chosen_, name, [](const auto& kept) { return std::string_view(kept.record.name); });
  return at == chosen_.end() ? nullptr : &*at;
}

double Policy::operator[](std::string_view name) const {
  if (const auto* const kept = chosen(name)) return kept->record.number;
  const PolicyEntry* const entry = entry_called(name);
  if (entry == nullptr) throw base::Failure("there is no value \"" + std::string(name) + "\" to choose");
  return entry->number;
}

base::Problems policy_problems(std::string_view name, double number, std::string_view source) {
  const PolicyEntry* const entry = entry_called(name);
  if (entry == nullptr) {
    return {
        {.file = {}, .field = std::string(name), .what = "there is no such value", .remedy = "Choose one of the list"}};
  }
  base::Problems problems;
  if (std::isnan(number) || number < entry->least || number > entry->most) {
    problems.push_back({.file = {},
                        .field = "number",
                        .what = base::number_text(number) + " is not between " + base::number_text(entry->least) +
                                " and " + base::number_text(entry->most),
                        .remedy = "Give a number between them"});
  }
  if (source.empty()) {
    problems.push_back({.file = {},
                        .field = "source",
                        .what = "it is not said where the value comes from",
                        .remedy = "Name the source, or say that the practice chose it"});
  }
  return problems;
}

}  // namespace throughcure::desk
