// A light's spectrum: power per nanometre against wavelength, straight between its points, zero outside them.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/optics/emission.hpp"

namespace throughcure::optics {

/// What the values of a spectrum stand for.
enum class SpectrumScale : std::uint8_t {
  kRelative,        ///< only the form is known
  kAbsoluteWPerNm,  ///< spectral radiant power [W/nm]
};

/// Wavelengths [nm], strictly rising, two or more; power at each >= 0, not all zero. A reader has checked this.
struct Spectrum {
  std::vector<double> wavelength_nm;
  std::vector<double> power_per_nm;
  SpectrumScale scale = SpectrumScale::kRelative;
};

/// The view of it that bands and initiators work on. Valid as long as the spectrum is.
Emission emission(const Spectrum& spectrum);

/// Power per nanometre at any wavelength [the spectrum's unit]; 0 outside its points.
double value_at(const Spectrum& spectrum, double wavelength_nm);

/// All of its power [the spectrum's unit x nm].
double whole_power(const Spectrum& spectrum);

/// Share [0..1] of the power between two wavelengths.
double share_between(const Spectrum& spectrum, double from_nm, double to_nm);

/// Mean wavelength of the power inside a window [nm]: integral of lambda S by integral of S. Returns the middle of the
/// window where the spectrum is dark there.
double mean_wavelength_nm(const Spectrum& spectrum, double from_nm, double to_nm);

/// Wavelength of the largest value [nm] (the first of equals).
double peak_wavelength_nm(const Spectrum& spectrum);

/// Radiant power [mW] of an absolute spectrum. Must not be asked of a relative one.
double radiant_power_mw(const Spectrum& spectrum);

/// The same spectrum at other wavelengths (strictly rising, two or more): each new value is the mean of the old form
/// over the new point's cell (half way to its neighbours).
Spectrum resampled(const Spectrum& spectrum, std::span<const double> wavelength_nm);

}  // namespace throughcure::optics
