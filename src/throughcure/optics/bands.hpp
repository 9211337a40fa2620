// The few windows of wavelength in which light is followed: violet and blue at least.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "throughcure/optics/emission.hpp"
#include "throughcure/optics/initiator.hpp"

namespace throughcure::optics {

/// A window of wavelengths [nm].
struct Band {
  std::string name;
  double from_nm = 0;
  double to_nm = 0;
};

// Camphorquinone absorbs in the blue, acylphosphine oxides and germanes in the violet; they part at about 425 nm.
inline constexpr double kVioletFrom_nm = 385;
inline constexpr double kVioletTo_nm = 425;
inline constexpr double kBlueTo_nm = 515;

/// Violet 385 to 425 nm and blue 425 to 515 nm.
std::vector<Band> violet_and_blue();

/// Those of `candidates` that can cure: the emitter has at least `least_share` [0..1] of its power there, and some
/// initiator absorbs there with at least `least_share` of its own largest molar absorption coefficient. May be empty:
/// this light then cannot cure this material.
std::vector<Band> bands_that_cure(std::span<const Band> candidates, const Emission& emitter,
                                  std::span<const Initiator> initiators, double least_share = 1e-3);

}  // namespace throughcure::optics
