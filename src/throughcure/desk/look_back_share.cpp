#include "throughcure/desk/look_back_share.hpp"

#include <algorithm>

namespace throughcure::desk {

namespace {

using store::Compare;

/// The rooms in which restorations were made with a light. Each is asked for after the one before it, so that not every
/// restoration is looked at.
std::vector<base::RoomId> rooms_made_in(const store::Reader& reader, base::LightId light) {
  const store::Table table = store::table_of<practice::Restoration>();
  std::vector<base::RoomId> rooms;
  std::int64_t last = 0;
  while (const auto next = reader.least(
             table, "room",
             {.where = {{"light", Compare::kEqual, light.number}, {"room", Compare::kAbove, last}}, .order_by = {}})) {
    last = *next;
    rooms.push_back({last});
  }
  return rooms;
}

}  // namespace

LookBackShare::LookBackShare(const store::Reader& reader, const Places& places, const practice::Member& member,
                             const store::Kept<practice::LookBack>& look_back)
    : sees_light_(member.sees(places.site_of(look_back.record.light))) {
  if (member.everywhere) return;
  for (const base::RoomId room : rooms_made_in(reader, look_back.record.light)) {
    if (member.sees(places.site_of(room)) == sees_light_) continue;
    const std::vector<std::int64_t> found = made_in(reader, look_back, room);
    otherwise_.insert(otherwise_.end(), found.begin(), found.end());
  }
  std::ranges::sort(otherwise_);
}

bool LookBackShare::sees(base::RestorationId restoration) const {
  return std::ranges::binary_search(otherwise_, restoration.number) != sees_light_;
}

SharedCounts LookBackShare::counts(const LookBackTally& tally) const {
  const auto decided = std::ranges::count_if(
      tally.decided, [&](std::int64_t one) { return std::ranges::binary_search(otherwise_, one); });
  const LookBackCounts those{.restorations = otherwise_.size(), .decided = static_cast<std::size_t>(decided)};
  const LookBackCounts others{.restorations = tally.restorations - those.restorations,
                              .decided = tally.decided.size() - those.decided};
  if (sees_light_) return {.seen = others, .elsewhere = those};
  return {.seen = those, .elsewhere = others};
}

}  // namespace throughcure::desk
