// What changes of the log mean for lights that are remembered.
#pragma once

#include <cstdint>
#include <map>
#include <set>
#include <vector>

#include "throughcure/base/kinds.hpp"
#include "throughcure/practice/change.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// What changes of the log touch.
struct Touched {
  bool all = false;     ///< every light: a radiometer, a room
  bool policy = false;  ///< the values in force
  std::set<std::int64_t> lights;
  std::map<std::int64_t, std::vector<std::int64_t>> new_readings;  ///< of a light, where nothing else of it changed

  void add(const store::Reader& reader, const practice::Change& change);
  /// After the last one: new readings of a light that is to be read again anyway need no mention.
  void settle();
  [[nodiscard]] bool touches(base::LightId light) const {
    return all || lights.contains(light.number) || new_readings.contains(light.number);
  }
};

}  // namespace throughcure::desk
