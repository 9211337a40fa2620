#include "throughcure/plan/fluence.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "throughcure/plan/light_fit.hpp"
#include "throughcure/plan/pose.hpp"
#include "throughcure/transport/response.hpp"

namespace throughcure::plan {

namespace {

constexpr double kPerCm2 = 100;  ///< 1/mm2 in 1/cm2

/// Fluence rates per mW of one place under one exposure, [draw of the list], and in the middle of the draws.
struct OfPlace {
  std::vector<double> per_mw;
  std::vector<base::Estimate> middle;  ///< by band
  double relative_se_of_draws = 0;     ///< of the band that brings most
};

OfPlace light_in_place(const Ground& ground, const Rays& rays, std::size_t state, std::size_t place,
                       const HeldTips& tips, const std::vector<std::size_t>& draws, const FluenceEffort& effort) {
  OfPlace result;
  result.per_mw.assign(draws.size(), 0);
  result.middle.resize(rays.bands);
  const std::size_t material = ground.material_of(rays.places[place].increment);
  const std::size_t hands = std::max<std::size_t>(1, tips.by_hand.size());
  double most = 0;
  for (std::size_t b = 0; b < rays.bands; ++b) {
    const auto& back = rays.of[state][place][b];
    const double worth = worth_of_band(ground, b, material);
    if (!back || worth <= 0) continue;
    const std::uint32_t batches =
        effort.most_paths == std::numeric_limits<std::uint64_t>::max()
            ? back->batches
            : transport::batches_of(*back, paths_of_band(ground, b, material, effort.most_paths));
    const auto fit_to = [&](const transport::PosedTip& tip) {
      return LightFit(ground.axes[b], ground.middle[b],
                      transport::light_of_walks(*back, tip, ground.axes[b].groups, batches), ground.draw_of_walk);
    };
    const LightFit planned = fit_to(tips.planned);
    result.middle[b] = {worth * planned.of_middle().value, worth * planned.of_middle().se};
    if (result.middle[b].value > most) {
      most = result.middle[b].value;
      result.relative_se_of_draws = planned.relative_se_of_draws();
    }
    for (std::size_t h = 0; h < hands; ++h) {
      const LightFit fit = tips.by_hand.empty() ? planned : fit_to(tips.by_hand[h]);
      for (std::size_t i = h; i < draws.size(); i += hands) result.per_mw[i] += worth * fit.of_draw(draws[i]);
    }
  }
  return result;
}

}  // namespace

std::vector<HeldTips> hold_tips(const Ground& ground, const std::vector<Exposure>& schedule, std::size_t hand_poses,
                                const base::Running& running) {
  const optics::TipSource& source = ground.tip;
  std::vector<HeldTips> tips(schedule.size());
  base::for_each_batch(schedule.size(), {running.threads, running.stop, {}}, "", [&](std::size_t e) {
    const anatomy::Scene& scene = ground.scenes.at(schedule[e].state);
    const Held plan = held(schedule[e].pose);
    tips[e].planned = posed_tip(scene, source, plan);
    const std::vector<HandError> errors = hand_errors(ground.c.hand, hand_poses, e);
    if (errors.size() == 1) return;  // a hand that stays where it is planned
    for (const HandError& error : errors) tips[e].by_hand.push_back(posed_tip(scene, source, moved(plan, error)));
  });
  return tips;
}

base::Estimate Fluence::middle_of(std::size_t exposure, std::size_t place) const {
  base::Estimate all;
  for (std::size_t b = 0; b < bands; ++b) {
    const base::Estimate& one = middle_by_band[(exposure * places + place) * bands + b];
    all.value += one.value;
    all.se = std::hypot(all.se, one.se);
  }
  return all;
}

Fluence fluence_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                   const FluenceEffort& effort, const base::Running& running) {
  return fluence_of(ground, rays, schedule, hold_tips(ground, schedule, effort.hand_poses, running), effort, running);
}

Fluence fluence_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                   const std::vector<HeldTips>& tips, const FluenceEffort& effort, const base::Running& running) {
  Fluence fluence;
  fluence.exposures = schedule.size();
  fluence.places = rays.places.size();
  fluence.bands = rays.bands;
  for (std::size_t d = 0; d < ground.draws.size(); d += effort.every) fluence.draws.push_back(d);
  fluence.phi_mw_cm2.assign(fluence.draws.size() * fluence.exposures * fluence.places, 0);
  fluence.middle_by_band.assign(fluence.exposures * fluence.places * fluence.bands, {});

  const double nominal_mw = nominal_power_mw(ground.c);
  std::vector<double> errors(fluence.exposures * fluence.places, 0);
  base::for_each_batch(fluence.exposures * fluence.places, running, "light of each exposure", [&](std::size_t i) {
    const std::size_t e = i / fluence.places;
    const std::size_t place = i % fluence.places;
    const std::size_t state = schedule[e].state;
    if (ground.states[state].increments <= rays.places[place].increment) return;
    const OfPlace light = light_in_place(ground, rays, state, place, tips[e], fluence.draws, effort);
    for (std::size_t d = 0; d < fluence.draws.size(); ++d) {
      fluence.of(d, e)[place] = light.per_mw[d] * ground.draws[fluence.draws[d]].power_mw * kPerCm2;
    }
    for (std::size_t b = 0; b < fluence.bands; ++b) {
      const double to = nominal_mw * kPerCm2;
      fluence.middle_by_band[i * fluence.bands + b] = {light.middle[b].value * to, light.middle[b].se * to};
    }
    errors[i] = light.relative_se_of_draws;
  });
  for (std::size_t place = 0; place < fluence.places; ++place) {
    double light = 0;
    double error = 0;
    for (std::size_t e = 0; e < fluence.exposures; ++e) {
      const double one = fluence.middle_of(e, place).value *
                         optics::full_seconds(ground.c.light.modes[schedule[e].mode].course, schedule[e].seconds);
      light += one;
      error = std::hypot(error, one * errors[e * fluence.places + place]);
    }
    if (light > 0) fluence.relative_se_of_draws = std::max(fluence.relative_se_of_draws, error / light);
  }
  return fluence;
}

base::Estimate light_over(const Ground& ground, const std::vector<Exposure>& schedule, const Fluence& fluence,
                          std::size_t place) {
  base::Estimate sum;
  std::vector<double> se(ground.states.size() * fluence.bands, 0);
  for (std::size_t e = 0; e < schedule.size(); ++e) {
    const double seconds = optics::full_seconds(ground.c.light.modes[schedule[e].mode].course, schedule[e].seconds);
    for (std::size_t b = 0; b < fluence.bands; ++b) {
      const base::Estimate& light = fluence.middle_by_band[(e * fluence.places + place) * fluence.bands + b];
      sum.value += light.value * seconds * 1e-3;
      se[schedule[e].state * fluence.bands + b] += light.se * seconds * 1e-3;
    }
  }
  for (const double one : se) sum.se = std::hypot(sum.se, one);
  return sum;
}

}  // namespace throughcure::plan
