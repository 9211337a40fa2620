#include "throughcure/service/recompute.hpp"

#include <cmath>
#include <utility>

#include "throughcure/exchange/case_file.hpp"
#include "throughcure/plan/solve.hpp"

namespace throughcure::service {

namespace {

constexpr double kPrecision = 0.1;  // of the light at a deciding cell
constexpr std::size_t kDraws = 128;
constexpr double kLeastWeight = 1e-3;  // what is less likely moves a chance by less than the draws do

base::Sourced share_of(const desk::OutputAlternative& output, double stated_mw_cm2) {
  const double share = std::exp(output.ln_mean) / stated_mw_cm2;
  return {.value = share,
          .sd = share * output.ln_sd,
          .kind = base::Kind::kDerived,
          .source = "The light's checks, smoothed between its last good one and the failure"};
}

}  // namespace

UnderCured recompute(const exchange::PlainTable& document, const std::vector<desk::OutputAlternative>& output,
                     const exchange::CaseFiles& files, const plan::Knowledge& knowledge, const base::Running& running) {
  base::Problems problems;
  std::optional<plan::Case> c = exchange::parse_case(document, "the case that was kept", files, problems);
  if (!c || !problems.empty()) {
    return {std::nullopt, problems.empty() ? "The case cannot be read any more." : base::sentence(problems.front())};
  }
  const double stated = optics::exitance_mw_cm2(c->light, c->light.radiant_power_mw.value);
  try {
    const std::vector<plan::Exposure> schedule = c->schedule;
    const base::Sourced barrier_pass = c->barrier_pass;
    plan::Ground ground = plan::prepare(*std::move(c), knowledge, {.draws = kDraws, .seed = kRecomputeSeed}, running);
    plan::SolveEffort effort;
    effort.precision = kPrecision;
    effort.seed = kRecomputeSeed;
    plan::Rays rays;  // the same whatever the light gives
    double chance = 0;
    double weight = 0;
    for (const desk::OutputAlternative& one : output) {
      if (one.weight < kLeastWeight) continue;
      ground = plan::with_light(std::move(ground), share_of(one, stated), barrier_pass);
      plan::Solution solution = plan::solve(ground, schedule, effort, running, std::move(rays));
      chance += one.weight * (1 - solution.verdict.probability);
      weight += one.weight;
      rays = std::move(solution.rays);
    }
    return {chance / weight, {}};
  } catch (const base::InputError& error) {
    return {std::nullopt, error.what()};
  }
}

}  // namespace throughcure::service
