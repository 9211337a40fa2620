// Lights as one page looks at them: 200 with 5,000 readings each, and a look-back's days.
#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include <benchmark/benchmark.h>

#include "contest.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/fleet/light_output.hpp"
#include "throughcure/fleet/normal.hpp"
#include "throughcure/fleet/smoothed_output.hpp"

namespace throughcure::bench {
namespace {

constexpr int kLights = 200;
constexpr std::size_t kReadings = 5000;
constexpr int kRounds = 9;

base::Instant hours(double h) { return {static_cast<std::int64_t>(h * 3600e6)}; }

/// Three checks a day over some five years, steady but for a slow wear; every fourth with a barrier on.
fleet::LightHistory history(std::uint64_t id, std::size_t readings) {
  base::Stream stream(3, 9, id);
  fleet::LightHistory light{
      .claimed_mw_cm2 = 1000, .radiometers = {{.aperture_mm = 8}, {.aperture_mm = 12}}, .tips = {{.diameter_mm = 8}}};
  light.readings.reserve(readings);
  for (std::size_t i = 0; i < readings; ++i) {
    const double at = 8.0 * static_cast<double>(i);
    fleet::LightReading reading{.id = {static_cast<std::int64_t>(i) + 1},
                                .at = hours(at),
                                .radiometer = i < readings / 2 ? 0U : 1U,
                                .shown_mw_cm2 = 950 * std::exp(-1e-6 * at + 0.03 * fleet::standard_normal(stream)),
                                .second_of_press = 10};
    reading.barrier_on = i % 4 == 3;
    if (reading.barrier_on) {
      reading.barrier = fleet::BarrierFactor{.passes = 0.93, .sd = 0.01};
      reading.shown_mw_cm2 *= 0.93;
    }
    light.readings.push_back(reading);
  }
  return light;
}

/// 200 lights that are followed, asked for their lines with a forecast, against all their readings gone through again.
void lights_of_a_page(benchmark::State& state) {
  std::vector<fleet::LightHistory> lights;
  std::vector<fleet::FollowedLight> followed;
  const base::Instant now = hours(8.0 * kReadings);
  for (std::uint64_t id = 0; id < std::uint64_t{kLights}; ++id) {
    lights.push_back(history(id, kReadings));
    followed.emplace_back(lights.back(), now);
  }
  double ours = 0;
  double other = 0;
  contest(
      state, {kLights, kLights},
      [&](std::uint64_t) {
        ours = 0;
        for (const fleet::FollowedLight& light : followed) ours += light.at(now, 500).today.p50 / kLights;
      },
      [&](std::uint64_t) {
        other = 0;
        for (const fleet::LightHistory& light : lights) {
          other += fleet::light_output(light, now, 500).today.p50 / kLights;
        }
      });
  state.counters["mw_cm2"] = ours;
  if (std::abs(ours - other) > 1e-6) state.SkipWithError("a light that is followed says something else");
}
BENCHMARK(lights_of_a_page)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

/// The estimate of one light with 400 readings against the joint Gaussian of them, solved at once.
void output_estimate(benchmark::State& state) {
  constexpr std::size_t kFew = 400;
  constexpr std::uint64_t kTimes = 100;
  fleet::OutputKnown known{.claimed_mw_cm2 = 1000};
  base::Stream stream(4, 9, 0);
  for (std::size_t i = 1; i <= kFew; ++i) {
    known.readings.push_back({.at = hours(24.0 * static_cast<double>(i)),
                              .shown_mw_cm2 = 950 * std::exp(0.03 * fleet::standard_normal(stream))});
  }
  const double days = static_cast<double>(kFew);
  const fleet::OutputModel model;
  double ours = 0;
  double other = 0;
  contest(
      state, {static_cast<double>(kTimes), 1},
      [&](std::uint64_t) {
        for (std::uint64_t i = 0; i < kTimes; ++i) {
          ours = std::log(fleet::OutputEstimate(known, hours(24 * days), model).at(hours(24 * days)).p50);
        }
      },
      [&](std::uint64_t) {
        const double a = 1 / model.slope_memory_days;
        const auto level = [&](double s, double t) {
          const double integral = 2 * std::min(s, t) / a - (1 - std::exp(-a * s)) / (a * a) -
                                  (1 - std::exp(-a * t)) / (a * a) + (1 - std::exp(-a * std::abs(s - t))) / (a * a);
          return model.claim_sd * model.claim_sd + model.slope_sd_per_day * model.slope_sd_per_day * integral +
                 model.level_sd_per_root_day * model.level_sd_per_root_day * std::min(s, t);
        };
        const auto n = static_cast<Eigen::Index>(kFew);
        Eigen::MatrixXd V(n, n);
        Eigen::VectorXd with_end(n);
        Eigen::VectorXd off(n);
        for (Eigen::Index i = 0; i < n; ++i) {
          const double s = static_cast<double>(i) + 1;
          for (Eigen::Index j = 0; j < n; ++j) {
            V(i, j) = level(s, static_cast<double>(j) + 1) + model.radiometer_sd * model.radiometer_sd +
                      (i == j ? model.reading_sd * model.reading_sd : 0);
          }
          with_end(i) = level(s, days);
          off(i) = std::log(known.readings[static_cast<std::size_t>(i)].shown_mw_cm2) - std::log(1000.0) -
                   model.slope_per_day * s;
        }
        other = std::log(1000.0) + model.slope_per_day * days + with_end.dot(V.llt().solve(off));
      });
  state.counters["ln_output"] = ours;
  if (std::abs(ours - other) > 1e-8) state.SkipWithError("the filter and the joint Gaussian differ");
}
BENCHMARK(output_estimate)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

/// A window of 180 days with weekly readings, 512 courses of it, against a smoother made anew for every 32 of them and
/// asked for one at a time, as a recomputation that keeps nothing between restorations would.
void smoothed_days(benchmark::State& state) {
  fleet::OutputKnown known{.claimed_mw_cm2 = 1000};
  base::Stream stream(5, 9, 0);
  for (int week = 0; week <= 52; ++week) {
    const double loss = week > 40 ? -0.3 : 0;
    known.readings.push_back(
        {.at = hours(24.0 * 7 * week), .shown_mw_cm2 = 950 * std::exp(loss + 0.03 * fleet::standard_normal(stream))});
  }
  constexpr std::size_t kCourses = 512;
  double ours = 0;
  double other = 0;
  const base::Instant good = hours(24.0 * (364 - 180));
  const base::Instant failed = hours(24.0 * 364);
  contest(
      state, {static_cast<double>(kCourses), static_cast<double>(kCourses)},
      [&](std::uint64_t round) {
        const fleet::OutputSmoother smoother(known, good, failed);
        ours = 0;
        for (const auto& course : smoother.draws(round, kCourses)) ours += course[180] / kCourses;
      },
      [&](std::uint64_t round) {
        other = 0;
        for (std::size_t i = 0; i < 16; ++i) {
          const fleet::OutputSmoother smoother(known, good, failed);
          for (std::size_t k = 0; k < kCourses / 16; ++k) other += smoother.draws(round + i + k, 1)[0][180] / kCourses;
        }
      });
  state.counters["ln_last_day"] = ours;
  if (std::abs(ours - other) > 0.05) state.SkipWithError("the two have other courses");
}
BENCHMARK(smoothed_days)->Iterations(kRounds)->UseManualTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace throughcure::bench
