// Where a practice works: its sites, and their rooms.
#pragma once

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
  static constexpr auto fields() {
    return std::tuple{base::field("site", &Room::site), base::field("name", &Room::name)};
  }
  friend bool operator==(const Room&, const Room&) = default;
};

}  // namespace throughcure::practice
