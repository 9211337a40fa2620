#include "throughcure/plan/why.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "throughcure/base/number_text.hpp"
#include "throughcure/plan/judge.hpp"

namespace throughcure::plan {

namespace {

/// One place's light and chance under one set of causes.
struct Stage {
  base::Estimate light_j_cm2;
  double probability = 0;
};

/// The rays of one place alone.
Rays only(const Rays& rays, std::size_t place) {
  Rays one{{rays.places[place]}, rays.bands, {}};
  for (const auto& state : rays.of) {
    one.of.emplace_back();
    one.of.back().resize(1);
    one.of.back().front().resize(rays.bands);
    if (!state.empty()) one.of.back().front() = state[place];
  }
  return one;
}

double chance(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule, const Fluence& fluence) {
  return probability_of_all(cure_places(ground, rays, schedule, fluence), {true},
                            ground.priors.criterion.hardness_ratio.value);
}

Stage stage_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
               const std::vector<HeldTips>& tips, const FluenceEffort& effort, const base::Running& running) {
  const Fluence fluence = fluence_of(ground, rays, schedule, tips, effort, running);
  return {light_over(ground, schedule, fluence, 0), chance(ground, rays, schedule, fluence)};
}

std::vector<Exposure> in_contact(std::vector<Exposure> schedule) {
  for (Exposure& exposure : schedule) exposure.pose.standoff_mm = 0;
  return schedule;
}

std::vector<Exposure> upright(std::vector<Exposure> schedule) {
  for (Exposure& exposure : schedule) exposure.pose.tilt_deg = 0;
  return schedule;
}

/// What a reference piece of the place's paste would get in the schedule's seconds, those in which the place is there.
double reference_dose(const Ground& ground, const std::vector<Exposure>& schedule, std::size_t increment) {
  const double exitance = optics::exitance_mw_cm2(ground.c.light, nominal_power_mw(ground.c));
  double seconds = 0;
  for (const Exposure& exposure : schedule) {
    if (ground.states[exposure.state].increments <= increment) continue;
    seconds += optics::full_seconds(ground.c.light.modes[exposure.mode].course, exposure.seconds);
  }
  return exitance * 1e-3 * seconds * ground.materials[ground.material_of(increment)].nominal_reference;
}

std::string percent(double share) { return base::number_text(std::round(100 * share)) + " %"; }

template <class Of>
double most(const std::vector<Exposure>& schedule, Of of) {
  double found = 0;
  for (const Exposure& exposure : schedule) found = std::max(found, of(exposure));
  return found;
}

}  // namespace

Why explain(const Ground& ground, const std::vector<Exposure>& schedule, std::size_t place, const Solution& solved,
            const SolveEffort& effort, const base::Running& running) {
  const base::Running quiet{running.threads, running.stop, {}};
  const std::size_t increment = ground.targets.at(place).increment;
  const Rays rays = only(solved.rays, place);
  const base::Sourced whole{.value = 1};
  Why why{.place = place, .causes = {}, .total_kept = 1};

  const auto held = [&](const Ground& g, const std::vector<Exposure>& s) {
    return hold_tips(g, s, effort.fluence.hand_poses, quiet);
  };
  Stage before = stage_of(ground, rays, schedule, held(ground, schedule), effort.fluence, quiet);
  if (before.light_j_cm2.value <= 0) {
    why.total_kept = 0;  // no cause has a share of nothing
    return why;
  }
  const auto removed = [&](std::string cause, std::string label, const Stage& after) {
    const double share = before.light_j_cm2.value / after.light_j_cm2.value;
    const double se =
        std::hypot(before.light_j_cm2.se / before.light_j_cm2.value, after.light_j_cm2.se / after.light_j_cm2.value);
    why.causes.push_back({std::move(cause), std::move(label), share, se, after.probability});
    why.total_kept *= share;
    before = after;
  };
  /// Causes that only scale or move: the paths are the same, so that their noise cancels.
  const auto exactly = [&] { why.causes.back().relative_se = 0; };

  // The light as claimed.
  const Ground claimed = with_light(ground, whole, ground.c.barrier_pass);
  removed("output", "the light gives " + percent(ground.c.output_share.value) + " of its claim",
          stage_of(claimed, rays, schedule, held(claimed, schedule), effort.fluence, quiet));
  exactly();
  // No barrier.
  const Ground bare = with_light(ground, whole, whole);
  removed("barrier",
          ground.c.barrier_pass.value < 1 ? "the barrier keeps " + percent(1 - ground.c.barrier_pass.value)
                                          : std::string("no barrier"),
          stage_of(bare, rays, schedule, held(bare, schedule), effort.fluence, quiet));
  exactly();
  // In contact, then upright.
  const double gap_mm = most(schedule, [](const Exposure& e) { return e.pose.standoff_mm; });
  const double tilt_deg = most(schedule, [](const Exposure& e) { return e.pose.tilt_deg; });
  const std::vector<Exposure> near = in_contact(schedule);
  removed("standoff", "a gap of up to " + base::number_text(gap_mm) + " mm",
          stage_of(bare, rays, near, held(bare, near), effort.fluence, quiet));
  if (gap_mm == 0) exactly();
  const std::vector<Exposure> straight = upright(near);
  removed("tilt", "a tilt of up to " + base::number_text(tilt_deg) + " degrees",
          stage_of(bare, rays, straight, held(bare, straight), effort.fluence, quiet));
  if (tilt_deg == 0) exactly();

  // Nothing in the way, the tip where it was.
  Unshadowed open = without_shadows(bare);
  std::vector<Exposure> in_the_open = straight;
  for (Exposure& exposure : in_the_open) exposure.state = open.state_of.at(exposure.state);
  std::uint64_t paths = effort.first_paths;
  for (const auto& state : rays.of) {
    for (const auto& run : state.front()) paths = std::max<std::uint64_t>(paths, run ? run->launched : 0);
  }
  Rays open_rays;
  walk_missing(open_rays, open.ground, rays.places, in_the_open,
               {.paths = paths, .seed = effort.seed, .stream = 1U << 20U}, running);
  removed("shadow", "the tooth above the cavity, the band and the neighbours",
          stage_of(open.ground, open_rays, in_the_open, held(bare, straight), effort.fluence, quiet));

  // What is left: so much paste above, and how dark it is.
  const double reference = reference_dose(bare, straight, increment);
  why.causes.push_back({"depth and shade", "the paste above, and its shade", before.light_j_cm2.value / reference,
                        before.light_j_cm2.se / before.light_j_cm2.value, 1});
  why.total_kept *= why.causes.back().share_kept;
  return why;
}

}  // namespace throughcure::plan
