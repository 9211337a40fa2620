// The conversion that a progress gives, and back: the solution of the rate law at one temperature as two tables.
#pragma once

#include <array>
#include <cstddef>

#include "throughcure/cure/kinetics.hpp"

namespace throughcure::cure {

/// X = F(v), where v = k_ref A(T) * integral of (c phi/phi_ref)^p dt (kinetics.hpp, `progress`). The law is separable,
/// so F depends on b, q and X_lim(T) alone, not on k_ref or p.
/// Cubic Hermite tables in ln v with the law's own slopes, a series below and the power law of the tail above:
/// rising up to rounding, and within 2e-6 of the law for b up to 10 (2e-7 at b = 6, q = 2).
class ConversionCurve {
 public:
  ConversionCurve(const RateLaw& law, double temperature_c);

  /// X at progress `v` >= 0. 0 at 0, the limit at infinity.
  [[nodiscard]] double at(double v) const;
  /// The same where ln v is at hand; -inf gives 0.
  [[nodiscard]] double at_log(double ln_v) const;
  /// The v from which X = `x` follows; infinite from the limit on.
  [[nodiscard]] double inverse(double x) const;
  [[nodiscard]] double limit() const { return limit_; }

 private:
  struct Node {
    double value = 0;
    double slope = 0;  ///< per unit of the table's argument
  };
  // Both tables in the law's own terms: y = X/X_lim, w = v/X_lim, theta = ln(y/(1 - y)).
  static constexpr double kStep = 0.1;
  static constexpr double kLow = -11.5;  ///< of ln w, and of theta
  static constexpr std::size_t kNodes = 206;
  static constexpr double kHighLnW = kLow + kStep * (kNodes - 1);
  static constexpr std::size_t kThetaNodes = 346;
  static constexpr double kHighTheta = kLow + kStep * (kThetaNodes - 1);
  template <std::size_t N>
  static double interpolate(const std::array<Node, N>& table, double argument);

  double limit_;
  double ln_limit_;
  double series_;  ///< y = w (1 + series w) for small w
  double tail_;    ///< 1 - y goes as w^(-tail)
  std::array<Node, kThetaNodes> ln_w_of_theta_;
  std::array<Node, kNodes> x_of_ln_w_;
};

/// One exposure of a cell: constant temperature (that of the curve), `pause_before_s` in the dark before it.
/// Without a pause, two exposures are as one.
CellState expose(const RateLaw& law, const ConversionCurve& curve, double temperature_c, const CellState& state,
                 double phi_mw_cm2, const std::vector<Piece>& press, double pause_before_s = 0);

}  // namespace throughcure::cure
