#include "throughcure/fleet/scatter.hpp"

#include <cmath>

namespace throughcure::fleet {

Scatter scatter_of(double squares, double dof, const ScatterPrior& prior) {
  const double weight = prior.weight + dof;
  return {.sd = std::sqrt((prior.weight * prior.sd * prior.sd + squares) / weight), .dof = weight};
}

double normal_from_t(double t, double dof) {
  const double size = (8 * dof + 1) / (8 * dof + 3) * std::sqrt(dof * std::log1p(t * t / dof));
  return std::copysign(size, t);
}

}  // namespace throughcure::fleet
