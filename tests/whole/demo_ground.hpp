// What the tests of the whole chain stand on: the demo's molar made ready once for the program, and paths that serve
// every pose they ask about.
#pragma once

#include <filesystem>
#include <vector>

#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/rays.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::tests {

/// The demo's folder in the sources.
std::filesystem::path demo_folder();

inline constexpr std::size_t kDraws = 96;
inline constexpr std::uint64_t kSeed = 1;

/// The demo's molar and light as `demo_case` has them: no hand's spread, the light as claimed; 96 draws.
const plan::Ground& demo_ground();

/// The tip over the distal box's floor.
plan::Pose over_floor(double standoff_mm = 0, double tilt_deg = 0,
                      anatomy::ToothSide tilt_to = anatomy::ToothSide::kDistal);

/// How class2-poor.toml lights the three increments: from 6 mm, 20 degrees over the neighbour, 20 s each.
std::vector<plan::Exposure> poor_schedule();

/// From the buccal and the lingual side, 20 s each, once the band is off.
std::vector<plan::Exposure> with_laterals(std::vector<plan::Exposure> schedule);

/// Paths of every target in every state that has resin, guided to the poor, the upright and the lateral tips.
const plan::Rays& demo_rays();

/// Judges a schedule from `demo_rays`: paired with every other one.
plan::Verdict judged(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule);

/// Index of the target of that name; fails the test where there is none.
std::size_t target_called(const plan::Ground& ground, std::string_view name);

}  // namespace throughcure::tests
