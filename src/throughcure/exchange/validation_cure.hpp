// What the published experiments on curing ask: a specimen, its light as far as the study tells it, and what was read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/optics/mode.hpp"

namespace throughcure::exchange {

/// What is known of a lamp of which no spectrum is: its class.
enum class LampClass : std::uint8_t { kBlueLed, kVioletBlueLed, kHalogen };

/// A piece of resin and how it was lit. What the source does not say is a number with a range: a prior that is drawn
/// anew in each draw, the same for all rows of one study with the same lamp and mode, and never fitted to a row.
struct LitSpecimen {
  cure::MaterialClass material_class = cure::MaterialClass::kPaste;
  ShadeDepth shade = ShadeDepth::kMedium;
  LampClass lamp_class = LampClass::kBlueLed;
  std::string lamp{};                 ///< "L2 high": rows that share it share its irradiance; may be empty
  double tip_mm = 8;                  ///< of the optical tip
  base::Sourced irradiance_mw_cm2{};  ///< in contact; a range is the middle 90 % of a lognormal
  base::Sourced seconds{};            ///< of one press; a range is a triangle
  int presses = 1;                    ///< one after the other, without a pause
  optics::Course course{};            ///< of the power in each press
  double temperature_c = 23;          ///< of specimen and room
  bool leave_out_slope = false;       ///< the prior of p times the attenuation was derived from this very study
  std::optional<double> bore_mm{};    ///< of the steel mould; not known: 4 mm in half of the draws, 12 mm in the others
};

/// The scrape test, or what a solvent leaves of a piece.
struct ScrapeQuestion {
  LitSpecimen specimen{};
  bool whole_length = false;          ///< the length was published, not half of it
  std::optional<double> height_mm{};  ///< of the specimen: no more than that can be left
};

/// Of several materials of one class, which one's number was published.
enum class OneOf : std::uint8_t { kAny, kLeast, kMost };

/// Conversion somewhere in a specimen, or a difference of two.
struct ConversionQuestion {
  enum class Quantity : std::uint8_t { kConversion, kLostWithDepth, kDarkGain };
  LitSpecimen specimen{};
  Quantity quantity = Quantity::kConversion;
  double depth_mm = 0;
  double from_h = 0;  ///< of a dark gain: from here
  double after_h = 0;
  std::optional<double> x_at_from{};  ///< what the specimen was found to have at `from_h`
  OneOf one_of = OneOf::kAny;
  int materials = 1;  ///< among which it is the least or the most
};

/// Hardness (or conversion) at the bottom of a piece by that at its top.
struct HardnessQuestion {
  LitSpecimen specimen{};
  bool as_conversion = false;
  double thickness_mm = 2;
  double after_h = 24;
};

/// The conversion ratio that a hardness ratio stands for.
struct HardnessLineQuestion {
  double hardness_ratio = 0.8;
};

}  // namespace throughcure::exchange
