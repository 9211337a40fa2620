#include "throughcure/transport/scattering_walks.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <string>

#include "throughcure/base/problem.hpp"

namespace throughcure::transport {

namespace {

void refuse_what_cannot_be_walked(const Media& media, const std::vector<std::vector<double>>& mus_factors,
                                  const std::vector<double>& shares) {
  const auto fine = [](double x) { return x > 0 && std::isfinite(x); };
  for (const std::vector<double>& factors : mus_factors) {
    if (factors.size() != media.size()) {
      throw base::Failure("a walk has " + std::to_string(factors.size()) + " factors of scattering for " +
                          std::to_string(media.size()) + " media; give one for each, 1 for no change");
    }
    if (!std::all_of(factors.begin(), factors.end(), fine)) {
      throw base::Failure("a factor of scattering is not above 0 and finite; leave such a draw out of the walks");
    }
  }
  if (shares.empty()) return;
  if (shares.size() != mus_factors.size()) {
    throw base::Failure(std::to_string(shares.size()) + " shares for " + std::to_string(mus_factors.size()) +
                        " walks; give one for each, or none for equal ones");
  }
  if (!std::all_of(shares.begin(), shares.end(), fine)) {
    throw base::Failure("the share of a walk is not above 0 and finite; leave the walk out");
  }
}

/// Whole numbers of the given sum, as near to the shares as can be.
std::vector<std::uint64_t> divided(std::uint64_t total, const std::vector<double>& shares) {
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  std::vector<std::uint64_t> parts;
  std::vector<double> remainders;
  std::uint64_t given = 0;
  for (const double share : shares) {
    const double part = share / sum * static_cast<double>(total);
    parts.push_back(std::min(total - given, static_cast<std::uint64_t>(part)));
    remainders.push_back(part - static_cast<double>(parts.back()));
    given += parts.back();
  }
  for (; given < total; ++given) {
    const auto most = std::max_element(remainders.begin(), remainders.end()) - remainders.begin();
    ++parts[static_cast<std::size_t>(most)];
    remainders[static_cast<std::size_t>(most)] -= 1;
  }
  return parts;
}

}  // namespace

bool ScatteringWalks::nominal_alone() const {
  return std::all_of(mus_factors.begin(), mus_factors.end(), [](const std::vector<double>& factors) {
    return std::all_of(factors.begin(), factors.end(), [](double f) { return f == 1; });
  });
}

ScatteringWalks shared_out(const Media& media, const std::vector<std::vector<double>>& mus_factors,
                           const std::vector<double>& shares, std::uint64_t paths_per_batch) {
  refuse_what_cannot_be_walked(media, mus_factors, shares);
  ScatteringWalks walks;
  walks.mus_factors = mus_factors;
  if (mus_factors.empty()) walks.mus_factors.emplace_back(media.size(), 1.0);
  for (const Medium& m : media) walks.mus_per_mm.push_back(m.mus_per_mm);
  walks.per_batch =
      divided(paths_per_batch, shares.empty() ? std::vector<double>(walks.mus_factors.size(), 1) : shares);
  return walks;
}

Media media_of_walk(const Media& nominal, const ScatteringWalks& walks, std::size_t walk) {
  Media media = nominal;
  for (std::size_t m = 0; m < media.size(); ++m) media[m].mus_per_mm *= walks.mus_factors[walk][m];
  return media;
}

MixtureDensity::MixtureDensity(const ScatteringWalks& walks) : media_(walks.mus_per_mm.size()) {
  const auto all =
      static_cast<double>(std::accumulate(walks.per_batch.begin(), walks.per_batch.end(), std::uint64_t{0}));
  for (std::size_t j = 0; j < walks.mus_factors.size(); ++j) {
    if (walks.per_batch[j] == 0) continue;  // no path was walked so
    log_share_.push_back(std::log(static_cast<double>(walks.per_batch[j]) / all));
    for (std::size_t m = 0; m < media_; ++m) {
      const double factor = walks.mus_factors[j][m];
      per_collision_.push_back(std::log(factor));
      per_mm_.push_back((factor - 1) * walks.mus_per_mm[m]);
    }
  }
}

double MixtureDensity::log_over_nominal(std::span<const std::uint32_t> collisions,
                                        std::span<const double> lengths_mm) const {
  // The sum as a running largest term and all terms over it.
  double largest = -std::numeric_limits<double>::infinity();
  double sum = 0;
  for (std::size_t j = 0; j < log_share_.size(); ++j) {
    double term = log_share_[j];
    for (std::size_t m = 0; m < media_; ++m) {
      term += per_collision_[j * media_ + m] * collisions[m] - per_mm_[j * media_ + m] * lengths_mm[m];
    }
    if (term > largest) {
      sum = sum * std::exp(largest - term) + 1;
      largest = term;
    } else {
      sum += std::exp(term - largest);
    }
  }
  return largest + std::log(sum);
}

}  // namespace throughcure::transport
