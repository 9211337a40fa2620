#include "throughcure/fleet/gauge_rr.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include <boost/math/distributions/fisher_f.hpp>

#include "throughcure/base/problem.hpp"

namespace throughcure::fleet {

namespace {

/// Distinct categories per ratio of the deviations. Source: AIAG manual (published).
constexpr double kCategories = 1.41;

bool crossed(const CrossedReadings& readings) {
  if (readings.size() < 2 || readings.front().size() < 2 || readings.front().front().size() < 2) return false;
  return std::ranges::all_of(readings, [&](const auto& lights) {
    return lights.size() == readings.front().size() && std::ranges::all_of(lights, [&](const auto& trials) {
             return trials.size() == readings.front().front().size();
           });
  });
}

double square(double x) { return x * x; }

}  // namespace

GaugeRr gauge_rr(const CrossedReadings& readings, double pool_above) {
  if (!crossed(readings)) {
    throw base::Failure(
        "gauge R&R needs two people and two lights or more, and two trials or more, as many for each: give the "
        "readings "
        "of everybody of every light");
  }
  const std::size_t people = readings.size();
  const std::size_t lights = readings.front().size();
  const std::size_t trials = readings.front().front().size();
  const auto o = static_cast<double>(people);
  const auto p = static_cast<double>(lights);
  const auto r = static_cast<double>(trials);

  // Means over everything, people, lights, and cells.
  double mean = 0;
  std::vector<double> of_person(people);
  std::vector<double> of_light(lights);
  std::vector<std::vector<double>> of_cell(people, std::vector<double>(lights));
  for (std::size_t i = 0; i < people; ++i) {
    for (std::size_t j = 0; j < lights; ++j) {
      for (const double x : readings[i][j]) {
        mean += x / (o * p * r);
        of_person[i] += x / (p * r);
        of_light[j] += x / (o * r);
        of_cell[i][j] += x / r;
      }
    }
  }

  // Sums of squares.
  double ss_person = 0;
  double ss_light = 0;
  double ss_interaction = 0;
  double ss_error = 0;
  for (const double m : of_person) ss_person += p * r * square(m - mean);
  for (const double m : of_light) ss_light += o * r * square(m - mean);
  for (std::size_t i = 0; i < people; ++i) {
    for (std::size_t j = 0; j < lights; ++j) {
      ss_interaction += r * square(of_cell[i][j] - of_person[i] - of_light[j] + mean);
      for (const double x : readings[i][j]) ss_error += square(x - of_cell[i][j]);
    }
  }
  const double df_interaction = (o - 1) * (p - 1);
  const double df_error = o * p * (r - 1);
  double ms_interaction = ss_interaction / df_interaction;
  double ms_error = ss_error / df_error;

  GaugeRr result;
  if (ms_error > 0) {
    result.interaction_F = ms_interaction / ms_error;
    result.interaction_p =
        boost::math::cdf(complement(boost::math::fisher_f(df_interaction, df_error), result.interaction_F));
    result.interaction_pooled = result.interaction_p > pool_above;
  }
  if (result.interaction_pooled) {
    ms_error = (ss_error + ss_interaction) / (df_error + df_interaction);
    ms_interaction = ms_error;
  }

  // Variances, none below 0.
  const double repeatability = ms_error;
  const double interaction = std::max(0.0, (ms_interaction - ms_error) / r);
  const double person = std::max(0.0, (ss_person / (o - 1) - ms_interaction) / (p * r));
  const double light = std::max(0.0, (ss_light / (p - 1) - ms_interaction) / (o * r));
  result.repeatability = std::sqrt(repeatability);
  result.reproducibility = std::sqrt(person + interaction);
  result.gauge = std::sqrt(repeatability + person + interaction);
  result.between = std::sqrt(light);
  result.total = std::sqrt(repeatability + person + interaction + light);
  result.distinct_categories = result.gauge > 0 ? kCategories * result.between / result.gauge : 0;
  return result;
}

}  // namespace throughcure::fleet
