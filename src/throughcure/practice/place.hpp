// Where a practice works: its sites, and their rooms.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

struct Site {
  using Kind = base::SiteKind;
  std::string name;
  std::string time_zone;  ///< IANA's name, "Europe/Lisbon": due dates are computed in it
  static constexpr auto fields() {
    return std::tuple{base::field("name", &Site::name), base::field("time_zone", &Site::time_zone)};
  }
  friend bool operator==(const Site&, const Site&) = default;
};

struct Room {
  using Kind = base::RoomKind;
  base::SiteId site;
  std::string name;
  std::optional<base::RadiometerId> radiometer{};  ///< that its lights are checked with
  std::optional<std::int64_t> check_every_days{};  ///< none: as the practice's setting says
  static constexpr auto fields() {
    return std::tuple{base::field("site", &Room::site), base::field("name", &Room::name),
                      base::field("radiometer", &Room::radiometer),
                      base::field("check_every_days", &Room::check_every_days)};
  }
  friend bool operator==(const Room&, const Room&) = default;
};

}  // namespace throughcure::practice
