// A published experiment as a file of validation/ states it: what was asked, what was found, and whether it counts.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/exchange/reference_optics.hpp"
#include "throughcure/exchange/validation_cure.hpp"
#include "throughcure/optics/angular_shape.hpp"

namespace throughcure::exchange {

struct ValidationLayer {
  double mua_per_mm = 0;
  double mus_per_mm = 0;
  double g = 0;
  double n = 1;
  double thickness_mm = std::numeric_limits<double>::infinity();  ///< infinite only in the last layer
  bool operator==(const ValidationLayer&) const = default;
};

/// Plane layers under a collimated beam.
struct SlabSetup {
  std::vector<ValidationLayer> layers;  ///< from the lit side
  double n_above = 1;
  double n_below = 1;
  double mu0 = 1;           ///< cosine of the beam to the normal, outside
  double depth_bin_mm = 0;  ///< 0 for none
  std::uint32_t depth_bins = 0;
  std::uint32_t angle_bins = 0;
  bool operator==(const SlabSetup&) const = default;
};

/// One number of a slab. Totals are shares of the incident power; UR1 = Rsp + Rd.
struct SlabQuestion {
  enum class Quantity : std::uint8_t { kRsp, kRd, kUr1, kTt, kA, kAOfLayer, kAbsorbedPerMm, kReflectedRadiance };
  SlabSetup setup;
  Quantity quantity = Quantity::kRd;
  std::size_t index = 0;  ///< of the layer or bin, from 0
};

/// A smooth boundary between two indices.
struct FresnelQuestion {
  enum class Quantity : std::uint8_t { kReflectance, kCosineBeyond };
  double n1 = 1;
  double n2 = 1;
  double cosine = 1;
  Quantity quantity = Quantity::kReflectance;
};

/// Henyey-Greenstein's phase function: straight on, straight back [1/sr], or the share that goes on forwards.
struct PhaseFunctionQuestion {
  enum class Quantity : std::uint8_t { kForward, kBackward, kForwardHalf };
  double g = 0;
  Quantity quantity = Quantity::kForward;
};

/// What a boundary reflects of diffuse light that comes from n1.
struct DiffuseFresnelQuestion {
  double n1 = 1;
  double n2 = 1;
};

/// Mean irradiance on a round sensor on the axis of a uniform tip, by the tip's exitance.
struct TipIrradianceQuestion {
  double tip_diameter_mm = 8;
  double sensor_diameter_mm = 0.02;
  double distance_mm = 0;
  optics::AngularShape shape;
};

/// Fluence rate in the air on the axis of a uniform tip, by the tip's exitance.
struct TipFluenceQuestion {
  double tip_diameter_mm = 8;
  double distance_mm = 0;
  optics::AngularShape shape;
};

/// A beam painted into a picture. Gaussian: a and b are 1/e^2 radii; flat top: half axes.
struct PaintedBeam {
  bool flat_top = false;
  double x_mm = 0;
  double y_mm = 0;
  double a_mm = 1;
  double b_mm = 1;
  double tilt_deg = 0;
  double mm_per_pixel = 0.05;
  std::size_t pixels = 400;
};

/// Second moments (ISO 11146) of a painted beam.
struct BeamWidthQuestion {
  enum class Quantity : std::uint8_t { kLarger, kSmaller, kTiltDeg, kCentroidX, kCentroidY };
  PaintedBeam beam;
  Quantity quantity = Quantity::kLarger;
};

/// Clip-level values (ISO 13694) of a painted beam.
struct ClipLevelQuestion {
  enum class Quantity : std::uint8_t { kArea, kFractionalPower, kFlatness, kUniformity, kEdgeSteepness };
  PaintedBeam beam;
  double level = 0.1;
  Quantity quantity = Quantity::kArea;
};

/// Share of the irradiance at contact that is lost at a distance, over every angular shape, tip and sensor that the
/// study leaves open; where a loss at another distance is known, over those that give it.
struct DistanceLossQuestion {
  double distance_mm = 10;
  double tip_from_mm = 6;
  double tip_to_mm = 12;
  double sensor_from_mm = 1;
  double sensor_to_mm = 8;
  std::optional<double> known_at_mm{};
  std::optional<double> known_loss{};
};

/// What an initiator of the reference absorbs or loses.
struct InitiatorQuestion {
  enum class Quantity : std::uint8_t { kAbsorptionPerMm, kConcentrationMolPerL, kBleachingCm2PerJ };
  std::string initiator;
  double at_nm = 469;
  double mass_percent = 0;
  double density_g_ml = 1;
  Quantity quantity = Quantity::kAbsorptionPerMm;
};

/// Photons in a joule [umol/J].
struct PhotonsQuestion {
  double at_nm = 469;
};

/// Share of blue light through or back from a wide disc whose optics are only known by our priors.
struct TransmissionQuestion {
  enum class Tissue : std::uint8_t { kEnamel, kDentine, kGingiva };
  enum class Quantity : std::uint8_t { kTransmitted, kReturned };
  std::variant<Tissue, cure::MaterialClass> medium;
  ShadeDepth shade = ShadeDepth::kMedium;  ///< for a resin
  double thickness_mm = 1;
  Quantity quantity = Quantity::kTransmitted;
};

/// A study that is written down although nothing can simulate it.
struct NotYetQuestion {};

using Question =
    std::variant<NotYetQuestion, SlabQuestion, FresnelQuestion, PhaseFunctionQuestion, DiffuseFresnelQuestion,
                 TipIrradianceQuestion, TipFluenceQuestion, BeamWidthQuestion, ClipLevelQuestion, DistanceLossQuestion,
                 InitiatorQuestion, PhotonsQuestion, TransmissionQuestion, ScrapeQuestion, ConversionQuestion,
                 HardnessQuestion, HardnessLineQuestion>;

/// One published number and the question that it answers.
struct ValidationRow {
  std::string id;     ///< "slab-a/Rd": the study's and the row's own
  std::string group;  ///< transport, beam, optics or cure
  base::Provenance provenance;
  double published = 0;
  double error = 0;     ///< its standard error, 0 where it has none
  double rounding = 0;  ///< half of its last printed digit
  bool counted = true;
  std::string why_not;         ///< why it does not count; empty where it does
  std::string missing;         ///< the fact that, if known, would let it count; may be empty
  std::string conditioned_on;  ///< what the simulation was fitted to; may be empty
  /// Rows of the same study (their ids) that the simulation is conditioned on; `conditioned_on` names them.
  std::vector<std::string> given;
  Question question;
};

}  // namespace throughcure::exchange
