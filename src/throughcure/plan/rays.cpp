#include "throughcure/plan/rays.hpp"

#include <algorithm>
#include <utility>

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
      .mus_factors = ground.walks[band]};
  return std::make_shared<const transport::ReverseRays>(
      transport::run_reverse(ground.scenes[state], ground.media[band], input, running));
}

}  // namespace

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
    rays.of[w.state][w.place][w.band] =
        walked(ground, places[w.place], w.state, w.place, w.band, effort.paths, effort, {.stop = running.stop});
  });
  return rays;
}

void walk_missing(Rays& rays, const Ground& ground, const std::vector<PlaceInResin>& places,
                  const std::vector<bool>& states, const RayEffort& effort, const base::Running& running) {
  const auto walked_before = [&](std::size_t state) {
    return state < rays.of.size() &&
           std::ranges::any_of(
               rays.of[state], [](const auto& place) { return !place.empty() && place.front() != nullptr; });
  };
  std::vector<bool> missing(states.size(), false);
  for (std::size_t s = 0; s < states.size(); ++s) missing[s] = states[s] && !walked_before(s);
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
    const std::uint64_t per_batch = longer->launched / longer->batches;
    if (more[i].paths <= longer->launched) return;
    const auto batches = static_cast<std::uint32_t>((more[i].paths - longer->launched + per_batch - 1) / per_batch);
    transport::extend(*longer, ground.scenes[run.state], ground.media[run.band], batches, {.stop = running.stop});
    slot = std::move(longer);
  });
}

}  // namespace throughcure::plan
