#include "throughcure/fleet/run_rules.hpp"

#include "throughcure/fleet/change_point.hpp"

namespace throughcure::fleet {

std::vector<Signal> run_signals(std::span<const double> values, const InControl& in_control, const RunRule& rule) {
  std::vector<Signal> signals;
  std::size_t high = 0;
  std::size_t low = 0;
  const auto raise = [&](std::size_t run, std::size_t at, Side side) {
    if (run < rule.length) return;
    const std::size_t change_at =
        run > rule.length ? signals.back().change_at : change_began(values.first(at + 1), in_control.target, side);
    signals.push_back({.at = at, .rule = rule.rule, .change_at = change_at});
  };
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double off = values[i] - in_control.target;
    high = off > rule.sigmas * in_control.sigma ? high + 1 : 0;
    low = -off > rule.sigmas * in_control.sigma ? low + 1 : 0;
    raise(high, i, Side::kHigh);
    raise(low, i, Side::kLow);
  }
  return signals;
}

}  // namespace throughcure::fleet
