// The embedded reference on curing, barriers and matrices as plain structs, each read once, at the first question.
#pragma once

#include <string>
#include <vector>

#include "throughcure/base/sourced.hpp"
#include "throughcure/cure/priors.hpp"

namespace throughcure::exchange {

/// Everything of reference/cure.toml that the cure room uses.
const cure::Priors& reference_cure();

/// A share of power lost [0..1], by the name of what takes it: "plastic_smooth", "latex_wrinkled", ...
struct BarrierLoss {
  std::string name;
  base::Sourced share_lost;
};
/// The barriers of reference/barriers.toml, in the file's order.
const std::vector<BarrierLoss>& reference_barriers();

/// How a polished steel band or mould wall sends light back: reference/matrices.toml.
struct SteelOptics {
  base::Sourced reflectance;     ///< share sent back [0..1]
  base::Sourced specular_share;  ///< of that, the share sent back as by a mirror [0..1]
};
const SteelOptics& reference_steel();

}  // namespace throughcure::exchange
