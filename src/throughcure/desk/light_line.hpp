// One light's line in a list and on the page of the day: how it stands and what it gives, without its charts. What only
// the days change is worked out from what is kept of its readings.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "throughcure/desk/light_page.hpp"

namespace throughcure::desk {

struct LightLine {
  std::shared_ptr<const LightRecord> record;
  LightState state;
  fleet::LightToday output;
  bool has_readings = false;         ///< that count
  std::optional<std::string> alarm;  ///< as LightView has it
  Limit limit;                       ///< as LightView has it
};

/// What follows from a light's record up to a moment, and from the values in force.
class LightCourse {
 public:
  LightCourse(const LightRecord& record, const Policy& policy, base::Instant until);

  /// Whether it says the same as one made at `now`, to the bit.
  [[nodiscard]] bool holds_at(base::Instant now) const { return now == until_ || (now > until_ && settled_); }
  /// Nothing that is recorded lies later.
  [[nodiscard]] bool holds_later() const { return settled_; }

 private:
  friend LightState state_of(const LightRecord& record, const LightCourse& course, const Policy& policy,
                             base::Instant now);
  friend LightLine line_of(std::shared_ptr<const LightRecord> record, const LightCourse& course, const Policy& policy,
                           base::Instant now);
  LightCourse(const LightRecord& record, const Policy& policy, base::Instant until, const fleet::LightOutput& output);
  base::Instant until_;
  bool settled_;
  Standing standing_;
  std::optional<fleet::Alarm> alarm_;
  bool has_readings_;
  fleet::FollowedLight followed_;
};

/// As light_view says it, where the course holds.
LightState state_of(const LightRecord& record, const LightCourse& course, const Policy& policy, base::Instant now);
LightLine line_of(std::shared_ptr<const LightRecord> record, const LightCourse& course, const Policy& policy,
                  base::Instant now);

}  // namespace throughcure::desk
