// How an emitter spreads its power over the wavelengths: a view of numbers that someone else keeps.
#pragma once

#include <span>

namespace throughcure::optics {

/// Wavelengths [nm] strictly rising, two or more; power per nanometre at each, in any unit, >= 0. The straight line
/// holds between two points, and there is nothing outside them.
struct Emission {
  std::span<const double> wavelength_nm;
  std::span<const double> power_per_nm;
};

/// Power per nanometre at a wavelength that is not outside the points [the emission's unit].
double power_at(const Emission& emission, double wavelength_nm);

/// Power between two wavelengths, exact for the straight lines [the emission's unit x nm].
double power_between(const Emission& emission, double from_nm, double to_nm);

}  // namespace throughcure::optics
