#include "throughcure/service/recompute.hpp"

#include <cmath>

#include "throughcure/exchange/case_file.hpp"
#include "throughcure/plan/solve.hpp"

namespace throughcure::service {

namespace {

constexpr double kPrecision = 0.1;  // of the light at a deciding cell
constexpr std::size_t kDraws = 128;

}  // namespace

UnderCured recompute(const exchange::PlainTable& document, const desk::OutputThen& output,
                     const exchange::CaseFiles& files, const plan::Knowledge& knowledge, const base::Running& running) {
  base::Problems problems;
  std::optional<plan::Case> c = exchange::parse_case(document, "the case that was kept", files, problems);
  if (!c || !problems.empty()) {
    return {std::nullopt, problems.empty() ? "The case cannot be read any more." : base::sentence(problems.front())};
  }
  const double stated = optics::exitance_mw_cm2(c->light, c->light.radiant_power_mw.value);
  const double share = std::exp(output.ln_mean) / stated;
  c->output_share = {.value = share,
                     .sd = share * output.ln_sd,
                     .kind = base::Kind::kDerived,
                     .source = "The light's checks, smoothed between its last good one and the failure"};
  try {
    const std::vector<plan::Exposure> schedule = c->schedule;
    const plan::Ground ground =
        plan::prepare(*std::move(c), knowledge, {.draws = kDraws, .seed = kRecomputeSeed}, running);
    plan::SolveEffort effort;
    effort.precision = kPrecision;
    effort.seed = kRecomputeSeed;
    return {1 - plan::solve(ground, schedule, effort, running).verdict.probability, {}};
  } catch (const base::InputError& error) {
    return {std::nullopt, error.what()};
  }
}

}  // namespace throughcure::service
