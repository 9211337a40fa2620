// The crowns of reference/crowns.toml as the struct that a tooth is put together from.
#pragma once

#include "throughcure/anatomy/crown_dimensions.hpp"
#include "throughcure/anatomy/tooth_number.hpp"

namespace throughcure::exchange {

/// Average sizes of the crowns of one class in one arch. Read once, at the first question.
const anatomy::CrownDimensions& reference_crown(anatomy::Arch arch, anatomy::ToothClass tooth_class);

/// The same, for a tooth.
inline const anatomy::CrownDimensions& reference_crown(const anatomy::ToothNumber& tooth) {
  return reference_crown(tooth.arch(), tooth.tooth_class());
}

}  // namespace throughcure::exchange
