// What was seen amiss with a light at its checks: a damaged tip, blocked vents. No number makes it good: it stands
// until a later look, or what was done since, says otherwise.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_record.hpp"

namespace throughcure::desk {

/// The readings (of LightHistory::readings) at which each tip, and the vents, were looked at last, whether or not they
/// count. None where nobody has looked.
struct LastLooks {
  std::vector<std::optional<std::size_t>> at_tip;  ///< as LightHistory numbers them
  std::optional<std::size_t> at_vents{};
};

/// Readings after `now` are not looked at.
LastLooks last_looks(const LightRecord& record, base::Instant now);

struct Amiss {
  enum class Part : std::uint8_t { kTip, kVents };
  Part part = Part::kTip;
  std::size_t tip = 0;  ///< which one, where it is a tip
  base::ReadingId reading{};
  base::Instant at{};
};

/// What the last looks saw, tips first. A damaged tip is no more once a tip was replaced since, blocked vents once the
/// light was repaired.
std::vector<Amiss> seen_amiss(const LightRecord& record, base::Instant now);

/// "Its tip was seen damaged on 2026-11-20: replace it, and do not cure with it."; of several one after the other.
std::string words_of(const std::vector<Amiss>& seen, const LightRecord& record);

/// What acceptance wants where that was seen.
std::string wanted_instead(const Amiss& seen, const LightRecord& record);

}  // namespace throughcure::desk
