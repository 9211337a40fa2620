#include "throughcure/cure/conversion_curve.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

namespace throughcure::cure {

namespace {

constexpr double kInf = std::numeric_limits<double>::infinity();

// d y / d w = (1 + beta y) (1 - y)^q, seen from theta = ln(y / (1 - y)).
struct Law {
  double beta;
  double q;
  [[nodiscard]] double y(double theta) const { return 1 / (1 + std::exp(-theta)); }
  [[nodiscard]] double dw_dtheta(double theta) const {
    const double e = std::exp(theta);
    const double y = e / (1 + e);
    return y * std::exp((q - 1) * std::log1p(e)) / (1 + beta * y);
  }
};

// Gauss-Legendre, three points.
double step_integral(const Law& law, double from, double step) {
  const double middle = from + step / 2;
  const double off = step / 2 * std::sqrt(0.6);
  return step / 18 * (5 * law.dw_dtheta(middle - off) + 8 * law.dw_dtheta(middle) + 5 * law.dw_dtheta(middle + off));
}

// Between two nodes `width` apart, at the share t of the way.
double hermite(double t, double width, double from, double from_slope, double to, double to_slope) {
  const double s = 1 - t;
  return s * s * ((1 + 2 * t) * from + t * width * from_slope) + t * t * ((3 - 2 * t) * to - s * width * to_slope);
}

constexpr int kMantissaBits = 52;

}  // namespace

double ConversionCurve::ln_w_at(double theta) const {
  const double place = std::clamp((theta - kLowTheta) / kThetaStep, 0.0, static_cast<double>(kThetaNodes - 1));
  const std::size_t i = std::min(static_cast<std::size_t>(place), kThetaNodes - 2);
  const Node& from = ln_w_of_theta_[i];
  const Node& to = ln_w_of_theta_[i + 1];
  return hermite(place - static_cast<double>(i), kThetaStep, from.value, from.slope, to.value, to.slope);
}

ConversionCurve::ConversionCurve(const RateLaw& law, double temperature_c)
    : limit_(limit_at(law, temperature_c)),
      series_((law.b * limit_ - law.q) / 2),
      tail_(law.q > 1 ? 1 / (law.q - 1) : kInf) {
  const Law of{.beta = law.b * limit_, .q = law.q};

  // Walk theta upwards; ln w has a slope there that the law itself gives.
  double w = of.y(kLowTheta) * (1 - series_ * of.y(kLowTheta));
  for (std::size_t i = 0; i < kThetaNodes; ++i) {
    const double theta = kLowTheta + static_cast<double>(i) * kThetaStep;
    ln_w_of_theta_[i] = {std::log(w), of.dw_dtheta(theta) / w};
    w += step_integral(of, theta, kThetaStep);
  }

  // The other way round: for each w the theta that has it. The node before foretells it, two Newton steps mend that.
  // Beyond the last theta X is the limit to ten digits.
  double theta = kLowTheta;
  double dtheta = 1;  // per unit of ln w
  double ln_w_before = kLowOctave * std::numbers::ln2;
  for (std::size_t i = 0; i < kNodes; ++i) {
    const auto octave = kLowOctave + static_cast<int>(i >> kStepBits);
    const auto step = static_cast<double>(i & ((1U << kStepBits) - 1));
    const double node_w = std::ldexp(1 + std::ldexp(step, -kStepBits), octave);
    const double ln_w = std::log(node_w);
    theta = std::min(kHighTheta, theta + (ln_w - ln_w_before) * dtheta);
    for (int k = 0; k < 2; ++k) {
      const double ln_w_there = ln_w_at(theta);
      dtheta = std::exp(ln_w_there) / of.dw_dtheta(theta);
      theta = std::clamp(theta + (ln_w - ln_w_there) * dtheta, kLowTheta, kHighTheta);
    }
    dtheta = node_w / of.dw_dtheta(theta);
    ln_w_before = ln_w;
    const double y = of.y(theta);
    x_of_w_[i] = {limit_ * y, theta < kHighTheta ? limit_ * y * (1 - y) / of.dw_dtheta(theta) : 0};
  }
}

double ConversionCurve::at(double v) const {
  constexpr double kLowest = 1.0 / (1 << -kLowOctave);
  constexpr double kHighest = 1 << kHighOctave;
  const double w = v / limit_;
  if (w < kLowest) return w > 0 ? limit_ * w * (1 + series_ * w) : 0;
  if (w >= kHighest) return limit_ - (limit_ - x_of_w_.back().value) * std::pow(w / kHighest, -tail_);
  // The exponent and the first bits of the mantissa name the step, the rest is the way through it.
  constexpr int kRestBits = kMantissaBits - kStepBits;
  constexpr std::uint64_t kRest = (std::uint64_t{1} << kRestBits) - 1;
  constexpr std::uint64_t kExponent = ~((std::uint64_t{1} << kMantissaBits) - 1);
  const auto bits = std::bit_cast<std::uint64_t>(w);
  const std::size_t i = (bits >> kRestBits) - (std::bit_cast<std::uint64_t>(kLowest) >> kRestBits);
  const double t = static_cast<double>(bits & kRest) / (kRest + 1);
  const double width = std::bit_cast<double>(bits & kExponent) / (1 << kStepBits);
  return hermite(t, width, x_of_w_[i].value, x_of_w_[i].slope, x_of_w_[i + 1].value, x_of_w_[i + 1].slope);
}

double ConversionCurve::inverse(double x) const {
  if (x <= 0) return 0;
  if (x >= limit_) return kInf;
  const double y = x / limit_;
  const double theta = std::log(y / (1 - y));
  if (theta < kLowTheta) return limit_ * y * (1 - series_ * y);
  // Above the table ln w goes on straight: w as (1 - y)^(1 - q).
  const double above = std::isinf(tail_) ? 0 : std::max(0.0, theta - kHighTheta) / tail_;
  return limit_ * std::exp(ln_w_at(theta) + above);
}

CellState expose(const RateLaw& law, const ConversionCurve& curve, double temperature_c, const CellState& state,
                 double phi_mw_cm2, const std::vector<Piece>& press, double pause_before_s) {
  const double x = after_dark(law.dark, state.x, pause_before_s);
  const double gained = progress(law, temperature_c, phi_mw_cm2, press, state.fluence_j_cm2);
  double fluence = state.fluence_j_cm2;
  for (const Piece& piece : press) fluence += phi_mw_cm2 * piece.share * piece.seconds * 1e-3;
  if (gained <= 0 || x >= curve.limit()) return {x, fluence};
  return {std::max(x, curve.at(curve.inverse(x) + gained)), fluence};
}

}  // namespace throughcure::cure
