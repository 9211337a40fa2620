#include "throughcure/fleet/uncertainty.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>

#include <boost/math/distributions/students_t.hpp>

#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet {

CombinedUncertainty combined(std::span<const Contribution> contributions) {
  double squares = 0;
  double fourths = 0;
  for (const auto& [u, dof] : contributions) {
    squares += u * u;
    fourths += u * u * u * u / dof;
  }
  const double infinite = std::numeric_limits<double>::infinity();
  return {.u = std::sqrt(squares), .effective_dof = fourths > 0 ? squares * squares / fourths : infinite};
}

double coverage_factor(double effective_dof, double coverage) {
  const double below = (1 + coverage) / 2;
  if (!std::isfinite(effective_dof)) return normal_quantile(below);
  return boost::math::quantile(boost::math::students_t(std::max(1.0, std::floor(effective_dof))), below);
}

Means means_of(const std::vector<std::vector<double>>& observations) {
  const std::size_t quantities = observations.size();
  Means means{.mean = std::vector<double>(quantities),
              .covariance = std::vector(quantities, std::vector<double>(quantities))};
  for (std::size_t a = 0; a < quantities; ++a) {
    means.mean[a] = std::accumulate(observations[a].begin(), observations[a].end(), 0.0) /
                    static_cast<double>(observations[a].size());
  }
  for (std::size_t a = 0; a < quantities; ++a) {
    for (std::size_t b = 0; b < quantities; ++b) {
      const auto n = static_cast<double>(observations[a].size());
      double sum = 0;
      for (std::size_t i = 0; i < observations[a].size(); ++i) {
        sum += (observations[a][i] - means.mean[a]) * (observations[b][i] - means.mean[b]);
      }
      means.covariance[a][b] = sum / (n * (n - 1));
    }
  }
  return means;
}

double covariance_of_results(std::span<const double> sensitivities_a, std::span<const double> sensitivities_b,
                             const std::vector<std::vector<double>>& covariance) {
  double sum = 0;
  for (std::size_t a = 0; a < sensitivities_a.size(); ++a) {
    for (std::size_t b = 0; b < sensitivities_b.size(); ++b) {
      sum += sensitivities_a[a] * covariance[a][b] * sensitivities_b[b];
    }
  }
  return sum;
}

}  // namespace throughcure::fleet
