// The conversion that a progress gives, and back: the solution of the rate law at one temperature as two tables.
#pragma once

#include <array>
#include <cstddef>

#include "throughcure/cure/kinetics.hpp"

namespace throughcure::cure {

/// X = F(v), where v = k_ref A(T) * integral of (c phi/phi_ref)^p dt (kinetics.hpp, `progress`). The law is separable,
/// so F depends on b, q and X_lim(T) alone, not on k_ref or p.
/// Cubic Hermite tables with the law's own slopes, a series below and the power law of the tail above: rising up to
/// rounding, and within 5e-6 of the law for b up to 10 (1e-6 at b = 6, q = 2).
class ConversionCurve {
 public:
  ConversionCurve(const RateLaw& law, double temperature_c);

  /// X at progress `v` >= 0. 0 at 0, the limit at infinity.
  [[nodiscard]] double at(double v) const;
  /// The v from which X = `x` follows; infinite from the limit on.
  [[nodiscard]] double inverse(double x) const;
  [[nodiscard]] double limit() const { return limit_; }

 private:
  // Both tables in the law's own terms: y = X/X_lim, w = v/X_lim, theta = ln(y/(1 - y)).
  struct Node {
    double value = 0;
    double slope = 0;  ///< per unit of the table's argument
  };
  // X against w: eight steps in every octave from 2^-17 to 2^13, so that the bits of w say where it lies.
  static constexpr int kStepBits = 3;
  static constexpr int kLowOctave = -17;
  static constexpr int kHighOctave = 13;
  static constexpr std::size_t kNodes = ((kHighOctave - kLowOctave) << kStepBits) + 1;
  // ln w against theta.
  static constexpr double kThetaStep = 0.1;
  static constexpr double kLowTheta = -12;
  static constexpr std::size_t kThetaNodes = 351;
  static constexpr double kHighTheta = kLowTheta + kThetaStep * (kThetaNodes - 1);

  [[nodiscard]] double ln_w_at(double theta) const;

  double limit_;
  double series_;  ///< y = w (1 + series w) for small w
  double tail_;    ///< 1 - y goes as w^(-tail)
  std::array<Node, kThetaNodes> ln_w_of_theta_;
  std::array<Node, kNodes> x_of_w_;
};

/// One exposure of a cell: constant temperature (that of the curve), `pause_before_s` in the dark before it.
/// Without a pause, two exposures are as one.
CellState expose(const RateLaw& law, const ConversionCurve& curve, double temperature_c, const CellState& state,
                 double phi_mw_cm2, const std::vector<Piece>& press, double pause_before_s = 0);

}  // namespace throughcure::cure
