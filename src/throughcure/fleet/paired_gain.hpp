// Readings in pairs that tell what one thing does to the output: an empty battery, cleaning.
#pragma once

#include <cstddef>
#include <optional>

#include "throughcure/fleet/light_history.hpp"
#include "throughcure/fleet/scatter.hpp"
#include "throughcure/fleet/series.hpp"

namespace throughcure::fleet {

struct PairSettings {
  double most_hours = 24;  ///< between the two readings of a pair; common practice, no source
  double coverage = 0.8;   ///< of the interval
  ScatterPrior scatter{};
  SeriesSettings series{};
};

/// A share of the output, with its interval by Student's t on the logarithms (GUM 4.2, G.3).
struct PairedShare {
  double low = 0;
  double middle = 0;
  double high = 0;
  std::size_t pairs = 0;
};

/// How much less an empty battery gives [share of the output at full charge]: each reading of purpose kLowBattery with
/// the nearest one that counts. None without a pair.
std::optional<PairedShare> battery_sag(const LightHistory& history, base::Instant now,
                                       const PairSettings& settings = {});

/// How much more the tip gives after cleaning [share of the output before]: each reading of purpose kBeforeCleaning
/// with the next of kAfterCleaning. None without a pair.
std::optional<PairedShare> cleaning_gain(const LightHistory& history, base::Instant now,
                                         const PairSettings& settings = {});

}  // namespace throughcure::fleet
