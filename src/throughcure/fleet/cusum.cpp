#include "throughcure/fleet/cusum.hpp"

#include <algorithm>
#include <cstddef>

namespace throughcure::fleet {

CusumChart cusum_chart(std::span<const double> values, const InControl& in_control, const CusumSettings& settings) {
  const double k = settings.k * in_control.sigma;
  CusumChart chart{.h = settings.h * in_control.sigma, .c_plus = {}, .c_minus = {}, .signals = {}};
  double plus = 0;
  double minus = 0;
  std::size_t plus_began = 0;  // the first point after the sum was last 0
  std::size_t minus_began = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    plus = std::max(0.0, plus + values[i] - in_control.target - k);
    minus = std::max(0.0, minus + in_control.target - k - values[i]);
    chart.c_plus.push_back(plus);
    chart.c_minus.push_back(minus);
    if (plus == 0) plus_began = i + 1;
    if (minus == 0) minus_began = i + 1;
    if (plus > chart.h) chart.signals.push_back({.at = i, .rule = Rule::kCusumHigh, .change_at = plus_began});
    if (minus > chart.h) chart.signals.push_back({.at = i, .rule = Rule::kCusumLow, .change_at = minus_began});
  }
  return chart;
}

}  // namespace throughcure::fleet
