#include "throughcure/plan/rays.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/plan/aim.hpp"
#include "throughcure/plan/pose.hpp"

namespace throughcure::plan {

namespace {

std::shared_ptr<const transport::ReverseRays> walked(const Ground& ground, const PlaceInResin& place, std::size_t state,
                                                     std::size_t index, std::size_t band, std::uint64_t paths,
                                                     const RayEffort& effort, const base::Running& running) {
  const transport::ReverseInput input{
      .cell = {place.centre, place.radius_mm},
      .paths = paths,
      .seed = effort.seed,
      .stream = effort.stream + static_cast<std::uint32_t>((state * 1024 + index) * 4 + band),
      .guide = effort.guides.empty() ? nullptr : effort.guides[state]};
  return std::make_shared<const transport::ReverseRays>(
      transport::run_reverse(ground.scenes[state], ground.walks[band], input, running));
}

constexpr double kLeastPart = 0.125;

}  // namespace

double worth_of_band(const Ground& ground, std::size_t band, std::size_t material) {
  return ground.bands[band].power_share * ground.bands[band].weights[material];
}

std::uint64_t paths_of_band(const Ground& ground, std::size_t band, std::size_t material, std::uint64_t paths) {
  double best = 0;
  for (std::size_t b = 0; b < ground.bands.size(); ++b) best = std::max(best, worth_of_band(ground, b, material));
  if (best <= 0) return paths;
  const double part = std::max(kLeastPart, worth_of_band(ground, band, material) / best);
  return static_cast<std::uint64_t>(static_cast<double>(paths) * part);
}

std::vector<PlaceInResin> places_of(const std::vector<anatomy::Target>& targets) {
  std::vector<PlaceInResin> places;
  places.reserve(targets.size());
  for (const anatomy::Target& target : targets) places.push_back({target.centre, target.radius_mm, target.increment});
  return places;
}

std::vector<bool> lit_states(const Ground& ground, const std::vector<Exposure>& schedule) {
  std::vector<bool> lit(ground.states.size(), false);
  for (const Exposure& exposure : schedule) lit.at(exposure.state) = true;
  return lit;
}

std::vector<std::shared_ptr<const transport::Guide>> guides_for(const Ground& ground,
                                                                const std::vector<PlaceInResin>& places,
                                                                const std::vector<Exposure>& schedule,
                                                                const std::vector<bool>& states,
                                                                const base::Running& running) {
  std::vector<std::shared_ptr<const transport::Guide>> guides(ground.states.size());
  const optics::TipSource& source = ground.tip;
  const std::vector<Aim> named = aims(ground.c.site);
  // The band of most power: a guide serves all.
  const auto strongest = std::ranges::max_element(ground.bands, {}, &CaseBand::power_share);
  const transport::Media& media = ground.media[static_cast<std::size_t>(strongest - ground.bands.begin())];
  base::for_each_batch(states.size(), running, "where the light comes from", [&](std::size_t s) {
    if (!states[s] || ground.states[s].increments == 0 || named.empty()) return;
    const anatomy::Scene& scene = ground.scenes[s];
    std::vector<transport::PosedTip> tips;
    for (const Exposure& exposure : schedule) {
      if (exposure.state == s) tips.push_back(posed_tip(scene, source, held(exposure.pose)));
    }
    for (const Aim& aim : named) {
      tips.push_back(posed_tip(scene, source, held({.aim = aim.at})));
      if (ground.states[s].matrix) continue;
      for (const anatomy::ToothSide side : {anatomy::ToothSide::kBuccal, anatomy::ToothSide::kLingual}) {
        tips.push_back(posed_tip(scene, source, held({.aim = aim.at, .from = side})));
      }
    }
    std::vector<base::Point> cells;
    for (const PlaceInResin& place : places) {
      if (place.increment < ground.states[s].increments) cells.push_back(place.centre);
    }
    guides[s] = std::make_shared<const transport::Guide>(transport::guide_to(scene, media, tips, cells));
  });
  return guides;
}

Rays walk_rays(const Ground& ground, const std::vector<PlaceInResin>& places, const std::vector<bool>& states,
               const RayEffort& effort, const base::Running& running) {
  Rays rays{places, ground.bands.size(), {}};
  rays.of.resize(ground.states.size());
  struct Wanted {
    std::size_t state, place, band;
  };
  std::vector<Wanted> wanted;
  for (std::size_t s = 0; s < ground.states.size(); ++s) {
    rays.of[s].assign(places.size(), {});
    for (std::size_t p = 0; p < places.size(); ++p) {
      rays.of[s][p].resize(rays.bands);
      if (!states[s] || ground.states[s].increments <= places[p].increment) continue;
      for (std::size_t b = 0; b < rays.bands; ++b) wanted.push_back({s, p, b});
    }
  }
  // One run a thread: the runs themselves stay on theirs.
  base::for_each_batch(wanted.size(), running, "following light back from the resin", [&](std::size_t i) {
    const Wanted& w = wanted[i];
    const std::size_t material = ground.material_of(places[w.place].increment);
    const std::uint64_t paths = paths_of_band(ground, w.band, material, effort.paths);
    rays.of[w.state][w.place][w.band] =
        walked(ground, places[w.place], w.state, w.place, w.band, paths, effort, {.stop = running.stop});
  });
  return rays;
}

void walk_missing(Rays& rays, const Ground& ground, const std::vector<PlaceInResin>& places,
                  const std::vector<Exposure>& schedule, RayEffort effort, const base::Running& running) {
  const auto walked_before = [&](std::size_t state) {
    return state < rays.of.size() &&
           std::ranges::any_of(
               rays.of[state], [](const auto& place) { return !place.empty() && place.front() != nullptr; });
  };
  std::vector<bool> missing = lit_states(ground, schedule);
  for (std::size_t s = 0; s < missing.size(); ++s) {
    missing[s] = missing[s] && ground.states[s].increments > 0 && !walked_before(s);
  }
  if (std::ranges::none_of(missing, [](bool m) { return m; }) && !rays.of.empty()) return;
  effort.guides = guides_for(ground, places, schedule, missing, {running.threads, running.stop, {}});
  Rays fresh = walk_rays(ground, places, missing, effort, running);
  for (std::size_t s = 0; s < rays.of.size(); ++s) {
    if (!missing[s]) fresh.of[s] = std::move(rays.of[s]);
  }
  rays = std::move(fresh);
}

void walk_more(Rays& rays, const Ground& ground, const std::vector<MoreRays>& more, const base::Running& running) {
  base::for_each_batch(more.size(), running, "following more light back", [&](std::size_t i) {
    const RayRun& run = more[i].run;
    auto& slot = rays.of[run.state][run.place][run.band];
    auto longer = std::make_shared<transport::ReverseRays>(*slot);
    const std::uint64_t per_batch = longer->per_batch;
    if (more[i].paths <= longer->launched) return;
    const auto batches = static_cast<std::uint32_t>((more[i].paths - longer->launched + per_batch - 1) / per_batch);
    transport::extend(*longer, ground.scenes[run.state], ground.walks[run.band], batches, {.stop = running.stop});
    slot = std::move(longer);
  });
}

}  // namespace throughcure::plan
