// What a case comes to: every target cell's conversion and hardness with intervals, and one word for the restoration.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "throughcure/anatomy/targets.hpp"
#include "throughcure/base/vec3.hpp"

namespace throughcure::plan {

/// Over the draws: 8 of 10 lie between p10 and p90.
struct Spread {
  double p10 = 0;
  double p50 = 0;
  double p90 = 0;
};

/// One target cell, 24 h after the last exposure.
struct CellVerdict {
  anatomy::Target target;
  Spread conversion;          ///< X [0..1]
  Spread share_of_reference;  ///< X / X_ref [1]
  Spread hardness_ratio;      ///< to the reference piece [1]
  double probability = 0;     ///< that this cell alone meets the criterion [0..1]
  double relative_se = 0;     ///< Monte Carlo error of its light, over the light [1]
  double light_j_cm2 = 0;     ///< fluence over the whole schedule, middle of the media, nominal output and pose [J/cm2]
  bool decides = true;        ///< false for the cell near the top, which is only shown
};

enum class Word : std::uint8_t { kThroughCured, kUncertain, kUnderCured };
constexpr std::string_view word(Word verdict) {
  switch (verdict) {
    case Word::kThroughCured:
      return "through-cured";
    case Word::kUncertain:
      return "uncertain";
    case Word::kUnderCured:
      return "under-cured";
  }
  return "";
}

struct Verdict {
  Word word = Word::kUncertain;
  double probability = 0;     ///< that all deciding cells meet the criterion together [0..1]
  double probability_se = 0;  ///< from the number of draws and from the light's Monte Carlo error
  std::size_t worst = 0;      ///< index of the deciding cell that is least likely to meet it
  std::vector<CellVerdict> cells;
};

/// Between the places of a field, along and across its cut [mm].
inline constexpr double kFieldSpacing_mm = 0.5;

/// Conversion at one place of a section, for the drawing: medians over draws, 24 h after the last exposure.
struct FieldPoint {
  base::Point at;
  std::size_t increment = 0;
  double conversion = 0;      ///< X [0..1]
  double hardness_ratio = 0;  ///< to the reference piece [1]
};

/// Where a tip is, for drawings.
struct TipPlace {
  base::Point centre;         ///< of its face
  base::Direction axis;       ///< leaves the light
  double radius_mm = 0;       ///< of the optical tip
  double half_angle_deg = 0;  ///< at which its radiance is half
};

}  // namespace throughcure::plan
