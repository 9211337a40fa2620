// The lights that are at somebody's sites, or ever were: a restoration is of where its light was then, wherever that
// light is now.
#pragma once

#include <optional>
#include <vector>

#include "throughcure/practice/member.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

struct LightThere {
  base::LightId light;
  std::optional<base::RoomId> room{};   ///< of theirs, that it is in or was in last; none: the one on record
  std::optional<base::Instant> left{};  ///< when it left their sites, lent or for good; none: it is there
  bool own = false;                     ///< its room on record is theirs
};

/// By number.
std::vector<LightThere> lights_there(const store::Reader& reader, const practice::Member& member, base::Instant now);

}  // namespace throughcure::desk
