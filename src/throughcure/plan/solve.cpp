#include "throughcure/plan/solve.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "throughcure/plan/judge.hpp"

namespace throughcure::plan {

namespace {

constexpr double kNearBoundary = 0.02;
constexpr double kSlack = 1.15;    ///< more paths than the first error asks for: it is an estimate itself
constexpr double kMostAtOnce = 8;  ///< a first error from few hits may be far off

/// The runs that must grow so that every deciding cell's light is known to `precision`. Paths cost about the same in
/// every run of a cell, so that the least work for an error is in the proportion of what one path of each scatters by.
/// Source: Neyman 1934, J R Stat Soc 97:558, optimum allocation over strata.
std::vector<MoreRays> what_is_missing(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                                      const Fluence& fluence, double precision, std::uint64_t most_paths) {
  std::vector<MoreRays> more;
  for (std::size_t p = 0; p < rays.places.size(); ++p) {
    if (!decides(ground.targets[p])) continue;
    double light = 0;
    // Exposures of one state share its paths: their errors go together.
    std::vector<std::vector<double>> se(ground.states.size(), std::vector<double>(rays.bands, 0));
    for (std::size_t e = 0; e < schedule.size(); ++e) {
      for (std::size_t b = 0; b < rays.bands; ++b) {
        const base::Estimate& one = fluence.middle_by_band[(e * fluence.places + p) * rays.bands + b];
        const double seconds = optics::full_seconds(ground.c.light.modes[schedule[e].mode].course, schedule[e].seconds);
        light += one.value * seconds;
        se[schedule[e].state][b] += one.se * seconds;
      }
    }
    double variance = 0;
    double of_one_path = 0;  // what one path of each run scatters by, summed
    for (std::size_t s = 0; s < se.size(); ++s) {
      for (std::size_t b = 0; b < rays.bands; ++b) {
        variance += se[s][b] * se[s][b];
        if (const auto& run = rays.of[s][p][b]) of_one_path += se[s][b] * std::sqrt(static_cast<double>(run->launched));
      }
    }
    const double wanted = precision * light;
    if (light > 0 && variance <= wanted * wanted) continue;
    for (std::size_t s = 0; s < ground.states.size(); ++s) {
      for (std::size_t b = 0; b < rays.bands; ++b) {
        const auto& run = rays.of[s][p][b];
        if (!run || run->launched >= most_paths) continue;
        const auto now = static_cast<double>(run->launched);
        const double best =
            light > 0 ? kSlack * se[s][b] * std::sqrt(now) * of_one_path / (wanted * wanted) : kMostAtOnce * now;
        const auto paths = static_cast<std::uint64_t>(std::ceil(std::min(best, kMostAtOnce * now)));
        if (paths > run->launched) more.push_back({{s, p, b}, std::min(most_paths, paths)});
      }
    }
  }
  return more;
}

std::uint64_t launched(const Rays& rays) {
  std::uint64_t sum = 0;
  for (const auto& state : rays.of) {
    for (const auto& place : state) {
      for (const auto& run : place) sum += run ? run->launched : 0;
    }
  }
  return sum;
}

}  // namespace

Solution solve(const Ground& ground, const std::vector<Exposure>& schedule, const SolveEffort& effort,
               const base::Running& running, Rays rays) {
  walk_missing(rays, ground, places_of(ground.targets), schedule, {.paths = effort.first_paths, .seed = effort.seed},
               running);
  Solution solution;
  solution.rays = std::move(rays);
  double precision = effort.precision;
  bool doubled = false;
  // Errors are looked at with one draw and the planned pose: only they cost anything to know.
  const FluenceEffort quick{.hand_poses = 1, .every = ground.draws.size()};
  while (true) {
    while (true) {
      const Fluence middle = fluence_of(ground, solution.rays, schedule, quick, {running.threads, running.stop, {}});
      const std::vector<MoreRays> more =
          what_is_missing(ground, solution.rays, schedule, middle, precision, effort.most_paths);
      if (more.empty()) break;
      walk_more(solution.rays, ground, more, running);
    }
    solution.fluence = fluence_of(ground, solution.rays, schedule, effort.fluence, running);
    solution.verdict = judge(ground, solution.rays, schedule, solution.fluence);
    const cure::Policy& policy = ground.priors.policy;
    const double p = solution.verdict.probability;
    const bool near = std::abs(p - policy.through_cured_from.value) < kNearBoundary ||
                      std::abs(p - policy.under_cured_to.value) < kNearBoundary;
    if (!near || doubled) break;
    doubled = true;
    precision /= 2;
  }
  for (const CellVerdict& cell : solution.verdict.cells) {
    if (cell.decides) solution.worst_relative_se = std::max(solution.worst_relative_se, cell.relative_se);
  }
  solution.paths = launched(solution.rays);
  return solution;
}

}  // namespace throughcure::plan
