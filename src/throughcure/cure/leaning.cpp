#include "throughcure/cure/leaning.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::cure {

namespace {
constexpr double kEvenDraws = 80;
constexpr double kStepWidth = 1.0 / Leaning::kSteps;
constexpr double kLeastWorth = 100;
constexpr int kMostFlattenings = 18;  // to the 55th root
constexpr double kFlatter = 0.8;

// How many equal draws weighted ones are worth.
double worth_of(std::span<const double> weights) {
  double sum = 0;
  double squares = 0;
  for (const double w : weights) {
    sum += w;
    squares += w * w;
  }
  return squares > 0 ? sum * sum / squares : 0;
}

std::vector<double> flattened(std::span<const double> weights) {
  std::vector<double> w(weights.begin(), weights.end());
  double power = 1;
  for (int flattening = 0; flattening < kMostFlattenings && worth_of(w) < kLeastWorth; ++flattening) {
    power *= kFlatter;
    for (std::size_t i = 0; i < w.size(); ++i) w[i] = weights[i] > 0 ? std::pow(weights[i], power) : 0;
  }
  return w;
}

}  // namespace

double LeaningStream::uniform() {
  const double u = stream_.uniform();
  if (fell_.numbers >= Leaning::kNumbers) return u;
  const std::array<double, Leaning::kSteps>& density = leaning_.density[fell_.numbers];
  std::size_t step = 0;
  double left = u;
  while (step + 1 < Leaning::kSteps && left >= density[step] * kStepWidth) left -= density[step++] * kStepWidth;
  const double inside = std::clamp(left / (density[step] * kStepWidth), 0x1p-33, 1 - 0x1p-33);
  fell_.step[fell_.numbers++] = static_cast<std::uint8_t>(step);
  return (static_cast<double>(step) + inside) * kStepWidth;
}

double density(std::span<const Stage> stages, const Fell& fell) {
  double sum = 0;
  double proposals = 0;
  for (const Stage& stage : stages) {
    double product = static_cast<double>(stage.proposals);
    for (std::size_t i = 0; i < fell.numbers; ++i) product *= stage.leaning.density[i][fell.step[i]];
    sum += product;
    proposals += static_cast<double>(stage.proposals);
  }
  return proposals > 0 ? sum / proposals : 1;
}

Leaning lean(std::span<const Fell> fell, std::span<const double> weights) {
  Leaning leaning;
  const std::vector<double> w = flattened(weights);
  const double worth = worth_of(w);
  if (fell.empty() || worth <= 0) return leaning;
  double sum = 0;
  for (const double one : w) sum += one;
  for (std::size_t i = 0; i < fell.front().numbers; ++i) {
    std::array<double, Leaning::kSteps> share{};
    for (std::size_t k = 0; k < fell.size(); ++k) share[fell[k].step[i]] += w[k] / sum;
    for (std::size_t b = 0; b < Leaning::kSteps; ++b) {
      leaning.density[i][b] = (worth * share[b] * Leaning::kSteps + kEvenDraws) / (worth + kEvenDraws);
    }
  }
  return leaning;
}

}  // namespace throughcure::cure
