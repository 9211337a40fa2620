#include "throughcure/plan/field.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/anatomy/section_lattice.hpp"
#include "throughcure/plan/judge.hpp"
#include "throughcure/plan/pose.hpp"

namespace throughcure::plan {

namespace {

constexpr std::size_t kDrawsOfField = 16;
constexpr std::uint64_t kPathsOfField = 4000;  ///< no more is walked for a field
constexpr std::uint32_t kFieldStream = 1U << 24U;

}  // namespace

std::vector<PlaceInResin> field_places(const Ground& ground, const anatomy::CuttingPlane& cut) {
  std::vector<PlaceInResin> places;
  for (const anatomy::LatticePlace& place :
       anatomy::section_lattice(ground.c.site, anatomy::section_plane(ground.c.site, cut), kFieldSpacing_mm)) {
    places.push_back({place.centre, place.radius_mm, place.increment});
  }
  return places;
}

void walk_field(Rays& rays, const Ground& ground, const anatomy::CuttingPlane& cut,
                const std::vector<Exposure>& schedule, std::uint64_t paths, const base::Running& running) {
  const std::vector<PlaceInResin> places = rays.places.empty() ? field_places(ground, cut) : rays.places;
  walk_missing(rays, ground, places, schedule, {.paths = paths, .seed = ground.seed, .stream = kFieldStream}, running);
}

std::vector<FieldPoint> field(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                              const base::Running& running) {
  if (rays.places.empty()) return {};
  const FluenceEffort few{.hand_poses = 1,
                          .every = std::max<std::size_t>(1, ground.draws.size() / kDrawsOfField),
                          .most_paths = kPathsOfField};
  return field_of(ground, rays, schedule, fluence_of(ground, rays, schedule, few, running));
}

std::vector<TipPlace> tip_places(const Ground& ground, const std::vector<Exposure>& schedule) {
  std::vector<TipPlace> tips;
  for (const HeldTips& tip : hold_tips(ground, schedule, 1, {})) tips.push_back(place_of(tip.planned));
  return tips;
}

}  // namespace throughcure::plan
