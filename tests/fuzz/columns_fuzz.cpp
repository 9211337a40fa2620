// The readers of spectra and distance series on any bytes: they never break, and what they vouch for can be used.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "throughcure/exchange/distance_csv.hpp"
#include "throughcure/exchange/spectrum_csv.hpp"

using namespace throughcure;

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  base::Problems of_spectrum;
  const auto spectrum = exchange::parse_spectrum(text, "fuzz.csv", optics::SpectrumScale::kAbsoluteWPerNm, of_spectrum);
  if (spectrum.has_value() != of_spectrum.empty() || of_spectrum.size() > 22) std::abort();
  if (spectrum) {
    const double mean = optics::mean_wavelength_nm(*spectrum, 200, 1200);
    const double power = optics::radiant_power_mw(*spectrum);
    if (!std::isfinite(power) || power < 0 || mean < 200 || mean > 1200) std::abort();
  }
  base::Problems of_series;
  const auto series = exchange::parse_distance_series(text, "fuzz.csv", 4, of_series);
  if (series.has_value() != of_series.empty()) std::abort();
  if (series) {
    if (series->distance_mm.size() != series->irradiance_mw_cm2.size() || series->distance_mm.size() < 4) std::abort();
    for (std::size_t i = 0; i + 1 < series->distance_mm.size(); ++i) {
      if (!(series->distance_mm[i] < series->distance_mm[i + 1])) std::abort();
    }
  }
  return 0;
}
