// The page of the day: what is due, what is wrong, what changed.
#pragma once

#include <string>
#include <vector>

#include "throughcure/desk/light_cache.hpp"
#include "throughcure/desk/runs_out.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/practice/member.hpp"

namespace throughcure::desk {

struct DueRow {
  base::LightId light;
  std::string name;
  std::string room_name;
  std::optional<base::Instant> due;  ///< none: never checked
  std::int64_t overdue_days = 0;     ///< 0: today
};

struct WrongRow {
  base::LightId light;
  std::string name;
  std::string room_name;
  StateWord state = StateWord::kWatch;
  std::string sentence;
};

struct ChangedLight {
  base::LightId light;
  std::string name;
};

struct ChangedRow {
  base::Instant at;
  std::string person;  ///< as the log has it
  std::string sentence;
  std::vector<ChangedLight> lights{};  ///< that it was done to: the first few of them, the latest first
};

struct OpenLookBack {
  base::LookBackId id;
  base::LightId light;
  std::string name;
  std::int64_t undecided = 0;
};

struct Today {
  std::string sentence;
  std::size_t lights = 0;       ///< that whoever asks may see
  std::vector<DueRow> due;      ///< the longest overdue first
  std::vector<WrongRow> wrong;  ///< withdrawn ones last: they are out of the way
  std::vector<RunsOutRow> runs_out;
  std::vector<ChangedRow> changed;
  std::vector<OpenLookBack> look_backs;
};

/// The lights that somebody may see, by number.
std::vector<base::LightId> lights_of(const Places& places, const practice::Member& member);
std::vector<base::LightId> lights_of(const store::Reader& reader, const practice::Member& member);

Today today(LightsNow& lights, const practice::Member& member, base::Instant now);

}  // namespace throughcure::desk
