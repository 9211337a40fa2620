#include "throughcure/service/recompute.hpp"

#include <cmath>

#include "throughcure/exchange/case_document.hpp"
#include "throughcure/plan/solve.hpp"

namespace throughcure::service {

namespace {

constexpr double kPrecision = 0.1;  // of the light at a deciding cell
constexpr std::size_t kDraws = 128;
constexpr std::uint64_t kSeed = 1;

}  // namespace

LookBackResults::Result recompute(const std::string& document, const desk::OutputThen& output, double claimed_mw_cm2,
                                  const exchange::CaseFiles& files, const plan::Knowledge& knowledge,
                                  const base::Running& running) {
  base::Problems problems;
  std::optional<plan::Case> c = exchange::parse_case_json(document, "the case that was kept", files, problems);
  if (!c || !problems.empty()) {
    return {std::nullopt, problems.empty() ? "The case cannot be read any more." : base::sentence(problems.front())};
  }
  const double share = std::exp(output.ln_mean) / claimed_mw_cm2;
  c->output_share = {.value = share,
                     .sd = share * output.ln_sd,
                     .kind = base::Kind::kDerived,
                     .source = "The light's checks, smoothed between its last good one and the failure"};
  try {
    const std::vector<plan::Exposure> schedule = c->schedule;
    const plan::Ground ground = plan::prepare(*std::move(c), knowledge, {.draws = kDraws, .seed = kSeed}, running);
    plan::SolveEffort effort;
    effort.precision = kPrecision;
    effort.seed = kSeed;
    return {1 - plan::solve(ground, schedule, effort, running).verdict.probability, {}};
  } catch (const base::InputError& error) {
    return {std::nullopt, error.what()};
  }
}

}  // namespace throughcure::service
