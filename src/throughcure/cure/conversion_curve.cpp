#include "throughcure/cure/conversion_curve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

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

}  // namespace

template <std::size_t N>
double ConversionCurve::interpolate(const std::array<Node, N>& table, double argument) {
  const double place = std::clamp((argument - kLow) / kStep, 0.0, static_cast<double>(N - 1));
  const std::size_t i = std::min(static_cast<std::size_t>(place), N - 2);
  const double t = place - static_cast<double>(i);
  const double s = 1 - t;
  const Node& a = table[i];
  const Node& c = table[i + 1];
  return s * s * ((1 + 2 * t) * a.value + t * kStep * a.slope) + t * t * ((3 - 2 * t) * c.value - s * kStep * c.slope);
}

ConversionCurve::ConversionCurve(const RateLaw& law, double temperature_c)
    : limit_(limit_at(law, temperature_c)),
      ln_limit_(std::log(limit_)),
      series_((law.b * limit_ - law.q) / 2),
      tail_(law.q > 1 ? 1 / (law.q - 1) : kInf) {
  const Law of{.beta = law.b * limit_, .q = law.q};

  // Walk theta upwards; ln w has a slope there that the law itself gives.
  double w = of.y(kLow) * (1 - series_ * of.y(kLow));
  for (std::size_t i = 0; i < kThetaNodes; ++i) {
    const double theta = kLow + static_cast<double>(i) * kStep;
    ln_w_of_theta_[i] = {std::log(w), of.dw_dtheta(theta) / w};
    w += step_integral(of, theta, kStep);
  }

  // The other way round: for each ln w the theta that has it. The node before foretells it, two Newton steps mend that.
  // Beyond the last theta X is the limit to ten digits.
  double theta = kLow;
  double dtheta = 1;  // per unit of ln w
  for (std::size_t i = 0; i < kNodes; ++i) {
    const double ln_w = kLow + static_cast<double>(i) * kStep;
    theta = std::min(kHighTheta, theta + kStep * dtheta);
    for (int k = 0; k < 2; ++k) {
      const double ln_w_there = interpolate(ln_w_of_theta_, theta);
      dtheta = std::exp(ln_w_there) / of.dw_dtheta(theta);
      theta = std::clamp(theta + (ln_w - ln_w_there) * dtheta, kLow, kHighTheta);
    }
    dtheta = std::exp(ln_w) / of.dw_dtheta(theta);
    const double y = of.y(theta);
    x_of_ln_w_[i] = {limit_ * y, theta < kHighTheta ? limit_ * y * (1 - y) * dtheta : 0};
  }
}

double ConversionCurve::at(double v) const { return v > 0 ? at_log(std::log(v)) : 0; }

double ConversionCurve::at_log(double ln_v) const {
  const double ln_w = ln_v - ln_limit_;
  if (ln_w < kLow) {
    const double w = std::exp(ln_w);
    return limit_ * w * (1 + series_ * w);
  }
  if (ln_w > kHighLnW) {
    const double left = limit_ - x_of_ln_w_.back().value;
    return limit_ - left * std::exp(-tail_ * (ln_w - kHighLnW));
  }
  return interpolate(x_of_ln_w_, ln_w);
}

double ConversionCurve::inverse(double x) const {
  if (x <= 0) return 0;
  if (x >= limit_) return kInf;
  const double y = x / limit_;
  const double theta = std::log(y / (1 - y));
  if (theta < kLow) return limit_ * y * (1 - series_ * y);
  // Above the table ln w goes on straight: w as (1 - y)^(1 - q).
  const double above = std::max(0.0, theta - kHighTheta) * (std::isinf(tail_) ? 0 : 1 / tail_);
  return limit_ * std::exp(interpolate(ln_w_of_theta_, theta) + above);
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
