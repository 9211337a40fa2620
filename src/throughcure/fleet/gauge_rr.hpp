// How much of the scatter of readings is the radiometer's, how much the hand's, and how much the lights' own.
#pragma once

#include <vector>

namespace throughcure::fleet {

/// Repeated readings of several lights by several people: readings[person][light] holds the trials. Every person reads
/// every light equally often, two times or more; two people and two lights at least.
using CrossedReadings = std::vector<std::vector<std::vector<double>>>;

/// Standard deviations, in the unit of the readings; a variance that comes out negative counts as 0.
struct GaugeRr {
  double repeatability = 0;    ///< the same person, light and radiometer again (EV)
  double reproducibility = 0;  ///< between people, with what people do differently to single lights (AV)
  double gauge = 0;            ///< both together (GRR)
  double between = 0;          ///< between the lights (PV)
  double total = 0;            ///< TV
  double interaction_F = 0;
  double interaction_p = 0;  ///< of an F as large or larger where people treat all lights alike
  bool interaction_pooled = false;
  double distinct_categories = 0;  ///< 1.41 between / gauge, not rounded
};

/// Analysis of variance of two crossed factors. The interaction goes into repeatability where its p passes
/// `pool_above` (0.25 in the manual from memory; 1 never pools).
/// Source: AIAG Measurement Systems Analysis, 4th edition, ANOVA method (published example in the tests).
/// Throws Failure where the readings are not crossed as said above.
GaugeRr gauge_rr(const CrossedReadings& readings, double pool_above = 0.25);

}  // namespace throughcure::fleet
