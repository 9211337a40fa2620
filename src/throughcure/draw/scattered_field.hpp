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
class ScatteredField {
 public:
  explicit ScatteredField(std::vector<Sample> samples);
  /// Conversion and hardness ratio at a place.
  [[nodiscard]] Sample at(const Place& place) const;

 private:
  std::vector<Sample> samples_;
  Sample least_;
  Sample most_;
};

}  // namespace throughcure::draw
