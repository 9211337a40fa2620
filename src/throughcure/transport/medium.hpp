// What photons meet: a turbid or clear medium, or metal. Plain data, one table a band, indexed by the scene's MediumId.
#pragma once

#include <cstdint>
#include <vector>

namespace throughcure::transport {

enum class MediumKind : std::uint8_t {
  turbid,  ///< absorbs and scatters; mua = 0 and mus = 0 make it clear
  open,    ///< air: clear, and a light's tip may stand in it
  metal    ///< opaque; sends back `reflectance` of what meets it
};

struct Medium {
  MediumKind kind = MediumKind::turbid;
  double n = 1;            ///< refractive index
  double mua_per_mm = 0;   ///< absorption coefficient [1/mm]
  double mus_per_mm = 0;   ///< scattering coefficient [1/mm]
  double g = 0;            ///< mean cosine of scattering (Henyey-Greenstein)
  double reflectance = 0;  ///< metal only: share sent back
  double specular = 0;     ///< metal only: share of that sent back as by a mirror; the rest by Lambert's law
};

/// Reduced scattering coefficient mus' = mus (1 - g) [1/mm].
inline double reduced_scattering_per_mm(const Medium& medium) { return medium.mus_per_mm * (1 - medium.g); }

inline Medium air() { return {.kind = MediumKind::open}; }

using Media = std::vector<Medium>;

}  // namespace throughcure::transport
