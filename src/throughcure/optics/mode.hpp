// A light's modes: how the power goes over time after one press of its button, and which times the button offers.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace throughcure::optics {

// Shares are of the light's radiant power [0..1].

/// The same all the time.
struct Continuous {
  double share = 1;
};
/// A straight rise, then full. It starts again at each press.
struct Ramp {
  double from_share = 0;
  double rise_s = 0;  ///< > 0
  double to_share = 1;
};
/// On and off in turn, beginning with on.
struct Pulsed {
  double on_s = 0;   ///< > 0
  double off_s = 0;  ///< >= 0
  double share = 1;
};
/// One level, then another. It starts again at each press.
struct TwoLevel {
  double first_share = 0;
  double first_s = 0;  ///< > 0
  double then_share = 1;
};
using Course = std::variant<Continuous, Ramp, Pulsed, TwoLevel>;

struct Mode {
  std::string name;
  Course course;
  std::vector<double> buttons_s;  ///< the times its button offers [s], rising; one at least
};

/// Share of the radiant power at `seconds` (>= 0) after the press.
double share_at(const Course& course, double seconds);

/// Integral of that share over the first `seconds` of a press [s]: radiant exposure is exitance times this.
double full_seconds(const Course& course, double seconds);

}  // namespace throughcure::optics
