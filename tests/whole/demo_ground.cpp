#include "whole/demo_ground.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>

#include "support/demo_case.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "throughcure/plan/fluence.hpp"
#include "throughcure/plan/judge.hpp"

namespace throughcure::tests {

namespace {

constexpr std::uint64_t kPaths = 6400;  // of each target, state and band

base::Running all_threads() { return {.threads = base::hardware_threads()}; }

}  // namespace

std::filesystem::path demo_folder() { return std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo"; }

const plan::Ground& demo_ground() {
  static const plan::Ground ground =
      plan::prepare(demo_case(demo_folder()), exchange::knowledge(), {.draws = kDraws, .seed = kSeed}, all_threads());
  return ground;
}

plan::Pose over_floor(double standoff_mm, double tilt_deg, anatomy::ToothSide tilt_to) {
  return {.aim = *plan::aim_called(demo_site(), "distal box floor"),
          .tilt_deg = tilt_deg,
          .tilt_to = tilt_to,
          .standoff_mm = standoff_mm};
}

std::vector<plan::Exposure> poor_schedule() { return each_increment(over_floor(6, 20), 20); }

std::vector<plan::Exposure> with_laterals(std::vector<plan::Exposure> schedule) {
  for (const anatomy::ToothSide side : {anatomy::ToothSide::kBuccal, anatomy::ToothSide::kLingual}) {
    plan::Pose pose{.aim = *plan::aim_called(demo_site(), "distal box"), .from = side};
    pose.tilt_to = anatomy::ToothSide::kOcclusal;
    schedule.push_back({.state = 4, .pose = pose, .mode = 0, .seconds = 20, .pause_before_s = 0});
  }
  return schedule;
}

const plan::Rays& demo_rays() {
  static const plan::Rays rays = [] {
    plan::Rays walked;
    const plan::Ground& ground = demo_ground();
    plan::walk_missing(walked, ground, plan::places_of(ground.targets), with_laterals(poor_schedule()),
                       {.paths = kPaths, .seed = kSeed}, all_threads());
    return walked;
  }();
  return rays;
}

plan::Verdict judged(const plan::Ground& ground, const std::vector<plan::Exposure>& schedule) {
  const plan::Fluence fluence = plan::fluence_of(ground, demo_rays(), schedule, {}, all_threads());
  return plan::judge(ground, demo_rays(), schedule, fluence);
}

std::size_t target_called(const plan::Ground& ground, std::string_view name) {
  const auto found = std::ranges::find(ground.targets, name, &anatomy::Target::name);
  if (found == ground.targets.end()) throw std::runtime_error("no target called " + std::string(name));
  return static_cast<std::size_t>(found - ground.targets.begin());
}

}  // namespace throughcure::tests
