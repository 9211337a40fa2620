#include "throughcure/cure/hardness.hpp"

#include <algorithm>

namespace throughcure::cure {

double hardness_ratio(double conversion_ratio, double slope) {
  return std::max(0.0, 1 - (1 - conversion_ratio) / slope);
}

double conversion_ratio_for(double hardness, double slope) { return 1 - slope * (1 - hardness); }

double reference_conversion(const RateLaw& law, const ConversionCurve& curve, double temperature_c,
                            const ReferenceLight& light, double after_s) {
  const CellState lit = expose(law, curve, temperature_c, {}, light.phi_mw_cm2, {{1, light.seconds}});
  return after_dark(law.dark, lit.x, after_s);
}

}  // namespace throughcure::cure
