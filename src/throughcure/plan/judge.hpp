// From the light in each place to conversion, hardness and the verdict, over all draws.
#pragma once

#include <vector>

#include "throughcure/plan/fluence.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::plan {

/// Conversions 24 h after the last exposure and what they are worth, [draw of the fluence][place].
struct Cured {
  std::size_t places = 0;
  std::vector<double> conversion;
  std::vector<double> share_of_reference;
  std::vector<double> hardness_ratio;
};

/// Cures every place of every draw of `fluence`; the light is scaled by `light_factors` [place], all 1 where empty.
Cured cure_places(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule, const Fluence& fluence,
                  const std::vector<double>& light_factors = {});

/// The share of draws in which all deciding places reach the criterion's hardness ratio together.
double probability_of_all(const Cured& cured, const std::vector<bool>& decides, double hardness_ratio);

/// The verdict on the targets of the ground; the places of `rays` must be its targets, in order.
/// P's standard error joins that of the number of draws and that of the light: P with all light one of its standard
/// errors up and down.
Verdict judge(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule, const Fluence& fluence);

/// The word for a probability.
Word word_for(double probability, const cure::Policy& policy);

/// Whether a target decides.
bool decides(const anatomy::Target& target);

/// Medians for a drawing; the places of `rays` are those of the drawing.
std::vector<FieldPoint> field_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                                 const Fluence& fluence);

}  // namespace throughcure::plan
