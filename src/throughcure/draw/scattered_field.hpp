// A smooth field through values at scattered places of a plane.
#pragma once

#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// What is known at one place: two quantities, so that they are interpolated in one go.
struct Sample {
  Place at;
  double conversion = 0;
  double hardness_ratio = 0;
};

/// At a place the plane fitted to all samples with weights 1 / distance^4 is read off, cut off at the least and the
/// largest sample: a field that is smooth, takes each sample's value at its place, follows a straight slope and never
/// leaves the samples' range. Samples on one line or alone give a field that is level across. Expects one sample at
/// least, at places that differ.
/// Samples that each have an error of their own are smoothed over `smooth_mm`, with weights 1 / (distance^2 +
/// smooth^2)^2: on a lattice of that spacing an error keeps 0.4 of its size, a straight slope is followed as before,
/// and a sample's value is no longer taken at its place.
class ScatteredField {
 public:
  explicit ScatteredField(std::vector<Sample> samples, double smooth_mm = 0);
  /// Conversion and hardness ratio at a place.
  [[nodiscard]] Sample at(const Place& place) const;

 private:
  std::vector<Sample> samples_;
  double smooth_mm2_;
  Sample least_;
  Sample most_;
};

}  // namespace throughcure::draw
