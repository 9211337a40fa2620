#include "throughcure/fleet/run_length.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include <boost/math/quadrature/gauss.hpp>

#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet {

namespace {

constexpr double kMostArl = 1e9;
constexpr std::uint32_t kPurpose = 0x41524c;
constexpr std::size_t kLongestRun = 100'000;

struct Node {
  double at;
  double weight;
};

/// Nodes over from..to, 30 for every ten `width`s of the kernel, at most 600.
std::vector<Node> quadrature(double from, double to, double width) {
  using Gauss = boost::math::quadrature::gauss<double, 30>;
  const auto panels = static_cast<int>(std::clamp(std::ceil((to - from) / (10 * width)), 1.0, 20.0));
  const double half = (to - from) / panels / 2;
  std::vector<Node> nodes;
  for (int panel = 0; panel < panels; ++panel) {
    const double middle = from + (2 * panel + 1) * half;
    for (std::size_t i = 0; i < Gauss::abscissa().size(); ++i) {
      const double off = half * Gauss::abscissa()[i];
      const double weight = half * Gauss::weights()[i];
      nodes.push_back({middle - off, weight});
      nodes.push_back({middle + off, weight});
    }
  }
  return nodes;
}

double bounded(double arl) { return std::isfinite(arl) && arl >= 1 && arl < kMostArl ? arl : kMostArl; }

/// Run length from a sum of 0, upwards: L(u) = 1 + L(0) P(x < k - u) + int_0^h L(y) p(y + k - u) dy.
double one_sided(const CusumSettings& settings, double shift) {
  const std::vector<Node> nodes = quadrature(0, settings.h, 1);
  const auto n = static_cast<Eigen::Index>(nodes.size());
  Eigen::MatrixXd A = Eigen::MatrixXd::Identity(n + 1, n + 1);
  for (Eigen::Index row = 0; row <= n; ++row) {
    const double u = row == 0 ? 0 : nodes[static_cast<std::size_t>(row - 1)].at;
    A(row, 0) -= normal_below(settings.k - u - shift);
    for (Eigen::Index j = 0; j < n; ++j) {
      const auto& [y, weight] = nodes[static_cast<std::size_t>(j)];
      A(row, j + 1) -= weight * normal_density(y + settings.k - u - shift);
    }
  }
  return bounded(A.partialPivLu().solve(Eigen::VectorXd::Ones(n + 1))(0));
}

}  // namespace

double average_run_length(const CusumSettings& settings, double shift) {
  return bounded(1 / (1 / one_sided(settings, shift) + 1 / one_sided(settings, -shift)));
}

double average_run_length(const EwmaSettings& settings, double shift) {
  // L(u) = 1 + int_-H^H L(y) p((y - (1 - lambda) u) / lambda) dy / lambda
  const double lambda = settings.lambda;
  const double H = settings.L * std::sqrt(lambda / (2 - lambda));
  const auto density = [&](double y, double u) {
    return normal_density((y - (1 - lambda) * u) / lambda - shift) / lambda;
  };
  const std::vector<Node> nodes = quadrature(-H, H, lambda);
  const auto n = static_cast<Eigen::Index>(nodes.size());
  Eigen::MatrixXd A = Eigen::MatrixXd::Identity(n, n);
  for (Eigen::Index row = 0; row < n; ++row) {
    const double u = nodes[static_cast<std::size_t>(row)].at;
    for (Eigen::Index j = 0; j < n; ++j) {
      const auto& [y, weight] = nodes[static_cast<std::size_t>(j)];
      A(row, j) -= weight * density(y, u);
    }
  }
  const Eigen::VectorXd L = A.partialPivLu().solve(Eigen::VectorXd::Ones(n));
  double arl = 1;
  for (Eigen::Index j = 0; j < n; ++j) {
    const auto& [y, weight] = nodes[static_cast<std::size_t>(j)];
    arl += weight * density(y, 0) * L(j);
  }
  return bounded(arl);
}

double average_run_length(const IndividualsSettings& settings, double shift, std::uint64_t runs, std::uint64_t seed) {
  std::vector<RunRule> rules = settings.runs;
  rules.push_back({.rule = Rule::kBeyondLimits, .length = 1, .sigmas = settings.L});
  std::vector<std::size_t> high(rules.size());
  std::vector<std::size_t> low(rules.size());
  double checks = 0;
  for (std::uint64_t run = 0; run < runs; ++run) {
    base::Stream stream(seed, kPurpose, run);
    std::ranges::fill(high, 0);
    std::ranges::fill(low, 0);
    double before = 0;
    bool alarm = false;
    std::size_t length = 0;
    while (!alarm && length < kLongestRun) {
      const double x = shift + standard_normal(stream);
      ++length;
      alarm = length > 1 && std::abs(x - before) > settings.moving_range;
      before = x;
      for (std::size_t r = 0; r < rules.size(); ++r) {
        high[r] = x > rules[r].sigmas ? high[r] + 1 : 0;
        low[r] = -x > rules[r].sigmas ? low[r] + 1 : 0;
        alarm = alarm || high[r] >= rules[r].length || low[r] >= rules[r].length;
      }
    }
    checks += static_cast<double>(length);
  }
  return checks / static_cast<double>(runs);
}

}  // namespace throughcure::fleet
