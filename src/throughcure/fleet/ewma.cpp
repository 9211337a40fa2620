#include "throughcure/fleet/ewma.hpp"

#include <cmath>
#include <cstddef>

#include "throughcure/fleet/change_point.hpp"

namespace throughcure::fleet {

EwmaChart ewma_chart(std::span<const double> values, const InControl& in_control, const EwmaSettings& settings) {
  const double room = settings.L * in_control.sigma * std::sqrt(settings.lambda / (2 - settings.lambda));
  EwmaChart chart{.lcl = in_control.target - room, .ucl = in_control.target + room, .z = {}, .signals = {}};
  double z = in_control.target;
  int before = 0;  // the side on which the point before lay outside; 0 inside
  for (std::size_t i = 0; i < values.size(); ++i) {
    z = settings.lambda * values[i] + (1 - settings.lambda) * z;
    chart.z.push_back(z);
    const int side = z > chart.ucl ? 1 : z < chart.lcl ? -1 : 0;
    if (side != 0) {
      const std::size_t change_at =
          side == before ? chart.signals.back().change_at
                         : change_began(values.first(i + 1), in_control.target, side > 0 ? Side::kHigh : Side::kLow);
      chart.signals.push_back({.at = i, .rule = Rule::kEwma, .change_at = change_at});
    }
    before = side;
  }
  return chart;
}

}  // namespace throughcure::fleet
