#include "throughcure/desk/light_rooms.hpp"

#include <algorithm>
#include <iterator>

#include "throughcure/desk/light_record.hpp"
#include "throughcure/practice/restoration.hpp"

namespace throughcure::desk {

namespace {

using store::Compare;

/// Something by which a light came to be elsewhere.
struct Move {
  base::Instant at{};
  std::optional<base::RoomId> own{};  ///< its own room from then on; none: the one that it had
  std::optional<base::RoomId> lent{};
};

/// When it was given another room of its own.
void add_moves(const store::Reader& reader, const std::vector<store::Kept<fleet::LightEntry>>& revisions,
               std::vector<Move>& moves) {
  for (std::size_t i = 1; i < revisions.size(); ++i) {
    const base::RoomId room = revisions[i].record.room;
    if (room == revisions[i - 1].record.room) continue;
    const auto change = static_cast<std::uint64_t>(revisions[i].change);
    moves.push_back({.at = reader.changes(change, 1).at(0).at, .own = room, .lent = {}});
  }
}

/// When it was lent, and came back.
void add_loans(const store::Reader& reader, base::LightId light, std::vector<Move>& moves) {
  for (const auto& event : reader.list<fleet::ServicingEntry>(
           {.where = {{"light", Compare::kEqual, light.number}}, .order_by = "at", .limit = kAllOfThem})) {
    const fleet::ServicingEntry& told = event.record;
    if (told.what == fleet::Deed::kLent) moves.push_back({.at = told.at, .own = {}, .lent = told.room});
    if (told.what == fleet::Deed::kReturned) moves.push_back({.at = told.at, .own = {}, .lent = {}});
  }
}

}  // namespace

std::vector<LightRooms::Stay> LightRooms::read(base::LightId light) const {
  const auto revisions = reader_->history<fleet::LightEntry>(light);
  if (revisions.empty()) return {};
  std::vector<Move> moves;
  add_moves(*reader_, revisions, moves);
  add_loans(*reader_, light, moves);
  std::ranges::stable_sort(moves, {}, &Move::at);
  base::RoomId own = revisions.front().record.room;
  std::vector<Stay> stays;
  stays.push_back({.from = base::kEarliestInstant, .room = own});
  for (const Move& move : moves) {
    own = move.own.value_or(own);
    stays.push_back({.from = move.at, .room = move.lent.value_or(own)});
  }
  return stays;
}

const std::vector<LightRooms::Stay>& LightRooms::stays(base::LightId light) const {
  const auto [known, is_new] = known_.try_emplace(light.number);
  if (is_new) known->second = read(light);
  return known->second;
}

std::optional<base::RoomId> LightRooms::at(base::LightId light, base::Instant when) const {
  const std::vector<Stay>& all = stays(light);
  const auto next = std::ranges::upper_bound(all, when, {}, &Stay::from);
  if (next == all.begin()) return std::nullopt;
  return std::prev(next)->room;
}

std::vector<base::Value> with_room(const store::Reader& reader, const store::Table& table,
                                   const std::vector<base::Value>* before, const std::vector<base::Value>& after) {
  if (table.kind != base::kind_of<practice::Restoration>()) return after;
  auto made = base::record_of<practice::Restoration>(after);
  if (before != nullptr) {
    const auto then = base::record_of<practice::Restoration>(*before);
    if (then.light == made.light && then.placed_at == made.placed_at) return after;
  }
  made.room = LightRooms(reader).at(made.light, made.placed_at);
  return base::values_of(made);
}

}  // namespace throughcure::desk
