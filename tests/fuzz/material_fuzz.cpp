// The reader of material files on any bytes: it never breaks, and a material that it vouches for can be used.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <numeric>
#include <string_view>

#include "throughcure/exchange/material_file.hpp"

using namespace throughcure;

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  base::Problems problems;
  const auto material =
      exchange::parse_material({reinterpret_cast<const char*>(data), size}, "fuzz.toml", "/folder", problems);
  if (material.has_value() != problems.empty()) std::abort();
  if (!material) return 0;
  const optics::ResinValues values = nominal(material->optics);
  for (const double nm : {385.0, 405.0, 430.0, 460.0, 515.0}) {
    const auto shares = initiator_shares_per_mm(material->optics, values, nm);
    const double initiators = std::accumulate(shares.begin(), shares.end(), 0.0);
    const optics::OpticalProperties medium = resin_properties(values, nm, shares);
    const bool sound = std::isfinite(medium.mua_per_mm) && std::isfinite(medium.mus_per_mm) && medium.mus_per_mm >= 0 &&
                       initiators >= 0 && medium.mua_per_mm >= initiators && medium.n >= 1 && std::abs(medium.g) < 1;
    if (!sound) std::abort();
  }
  for (const auto& number : {material->optics.rest_blue_per_mm, material->optics.rest_violet_per_mm,
                             material->optics.scattering_violet_per_mm}) {
    if (number.low.value_or(number.value) > number.value || number.high.value_or(number.value) < number.value) {
      std::abort();
    }
  }
  return 0;
}
