#include "throughcure/desk/reading_rules.hpp"

#include <string>
#include <utility>

#include "throughcure/desk/clock.hpp"
#include "throughcure/desk/record_rules.hpp"

namespace throughcure::desk {

namespace {

constexpr const char* kLiesAhead = "it lies more than a day ahead";

}  // namespace

base::Problems reading_problems(const fleet::ReadingEntry& reading, const std::optional<base::LightId>& tip_of,
                                base::Instant now) {
  static const store::Table table = store::table_of<fleet::ReadingEntry>();
  base::Problems problems = record_problems(table, base::values_of(reading));
  const auto add = [&](std::string field, std::string what, std::string remedy) {
    problems.push_back(
        {.file = "reading", .field = std::move(field), .what = std::move(what), .remedy = std::move(remedy)});
  };
  if (tip_of && *tip_of != reading.light) {
    add("tip", "this tip belongs to another light", "Choose a tip of this light");
  }
  if (lies_ahead(reading.taken_at, now)) {
    add("taken_at", kLiesAhead, "Set the clock of this device, or give the time at which it was taken");
  }
  if (reading.barrier && !reading.barrier_on) {
    add("barrier", "a barrier is named, and none was on", "Say that it was on, or leave it out");
  }
  return problems;
}

void must_not_lie_ahead_of_a_slow_clock(const store::Reader& reader, const fleet::ReadingEntry& reading,
                                        base::Instant now) {
  if (!lies_ahead(reading.taken_at, now)) return;
  std::string behind = clock_behind(reader, now);
  if (behind.empty()) return;
  behind.pop_back();  // the full stop is the refusal's own
  base::refuse("taken_at", kLiesAhead, std::move(behind));
}

}  // namespace throughcure::desk
