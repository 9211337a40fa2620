#include "throughcure/desk/lights_there.hpp"

#include <cstdint>
#include <set>

#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

/// Those that may have been elsewhere than in the room on record: they were corrected once, or lent.
std::set<std::int64_t> moved_lights(const store::Reader& reader) {
  std::set<std::int64_t> moved;
  for (const auto& light : reader.list<fleet::LightEntry>({.where = {}, .order_by = {}, .limit = kAllOfThem})) {
    if (light.revision > 1) moved.insert(light.id.number);
  }
  const base::Value lent = base::Kept<fleet::Deed>::to(fleet::Deed::kLent);
  for (const auto& event : reader.list<fleet::ServicingEntry>(
           {.where = {{"what", store::Compare::kEqual, lent}}, .order_by = {}, .limit = kAllOfThem})) {
    moved.insert(event.record.light.number);
  }
  return moved;
}

}  // namespace

std::vector<LightThere> lights_there(const store::Reader& reader, const practice::Member& member, base::Instant now) {
  const Places places(reader);
  const LightRooms rooms(reader);
  const std::set<std::int64_t> moved = moved_lights(reader);
  std::vector<LightThere> there;
  for (const base::LightId light : places.lights()) {
    LightThere one{.light = light, .own = member.sees(places.site_of(light))};
    bool was_there = one.own;
    if (moved.contains(light.number)) {
      const std::vector<LightRooms::Stay>& stays = rooms.stays(light);
      for (std::size_t i = 0; i < stays.size() && stays[i].from <= now; ++i) {
        if (!member.sees(places.site_of(stays[i].room))) continue;
        was_there = true;
        one.room = stays[i].room;
        const bool left = i + 1 < stays.size() && stays[i + 1].from <= now;
        one.left = left ? std::optional(stays[i + 1].from) : std::nullopt;
      }
    }
    if (was_there) there.push_back(one);
  }
  return there;
}

}  // namespace throughcure::desk
