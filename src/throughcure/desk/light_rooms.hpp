// Where a light was at an instant: in its own room, or in one that it was lent to. So a restoration stays where it was
// made, wherever its light goes later.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// Each light is read once. Not for several threads.
class LightRooms {
 public:
  /// `reader` must outlive it.
  explicit LightRooms(const store::Reader& reader) : reader_(&reader) {}

  /// The room that it was in: the one that it was lent to last, until it came back or was given another room of its
  /// own. Before it was first kept it was where it was kept then. None where there is no such light.
  [[nodiscard]] std::optional<base::RoomId> at(base::LightId light, base::Instant when) const;

  struct Stay {
    base::Instant from{};
    base::RoomId room;
  };
  /// All the rooms that it was in, the earliest first; each until the next begins. Good until the next call.
  [[nodiscard]] const std::vector<Stay>& stays(base::LightId light) const;

 private:
  [[nodiscard]] std::vector<Stay> read(base::LightId light) const;

  const store::Reader* reader_;
  mutable std::map<std::int64_t, std::vector<Stay>> known_;  ///< of a light, by their begin
};

/// The values with the room in which a restoration was made, as far as its light and its time tell; on record it stays
/// what it is until one of the two is corrected. Values of other kinds as they are. `before` is null for a new record.
std::vector<base::Value> with_room(const store::Reader& reader, const store::Table& table,
                                   const std::vector<base::Value>* before, const std::vector<base::Value>& after);

}  // namespace throughcure::desk
