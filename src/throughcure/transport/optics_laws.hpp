// The laws a photon obeys at a boundary and in a collision: Fresnel, Snell, Henyey-Greenstein, Lambert.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "throughcure/base/quick_math.hpp"
#include "throughcure/base/vec3.hpp"

namespace throughcure::transport {

/// What a smooth boundary does to unpolarised light: the reflected share, and the cosine on the far side.
struct Boundary {
  double reflectance = 0;  ///< [0..1]; 1 in total reflection
  double cos_beyond = 1;   ///< cosine to the normal after refraction; 0 in total reflection
};

/// Fresnel's equations for unpolarised light that comes from index n1 with cosine `cos_here` (>= 0) to index n2.
/// Source: Born & Wolf, Principles of Optics, section 1.5.
inline Boundary fresnel(double n1, double n2, double cos_here) {
  const double ratio = n1 / n2;
  const double sin2 = ratio * ratio * std::max(0.0, 1 - cos_here * cos_here);
  if (sin2 >= 1) return {1, 0};
  const double cos_beyond = std::sqrt(1 - sin2);
  const double s = (n1 * cos_here - n2 * cos_beyond) / (n1 * cos_here + n2 * cos_beyond);
  const double p = (n1 * cos_beyond - n2 * cos_here) / (n1 * cos_beyond + n2 * cos_here);
  return {0.5 * (s * s + p * p), cos_beyond};
}

/// Henyey-Greenstein's phase function per steradian at scattering cosine `cosine`.
/// Source: Henyey & Greenstein 1941, Astrophys J 93:70.
inline double henyey_greenstein(double g, double cosine) {
  const double d = 1 + g * g - 2 * g * cosine;
  return (1 - g * g) / (4 * std::numbers::pi * d * std::sqrt(d));
}

/// The scattering cosine at which a share `u` in (0, 1) of the phase function lies below.
inline double henyey_greenstein_cosine(double g, double u) {
  if (std::abs(g) < 1e-6) return 2 * u - 1;
  const double f = (1 - g * g) / (1 - g + 2 * g * u);
  return std::clamp((1 + g * g - f * f) / (2 * g), -1.0, 1.0);
}

/// The direction at `cosine` to `d`, turned about it by `turns` of a whole turn, in [0, 1].
inline base::Direction turned(const base::Direction& d, double cosine, double turns) {
  const double sine = std::sqrt(std::max(0.0, 1 - cosine * cosine));
  const base::Frame f = base::frame_about(d);
  const base::OnCircle azimuth = base::on_circle(turns);
  const double cu = sine * azimuth.cosine;
  const double cv = sine * azimuth.sine;
  return base::renewed({cosine * d.x + cu * f.u.x + cv * f.v.x, cosine * d.y + cu * f.u.y + cv * f.v.y,
                        cosine * d.z + cu * f.u.z + cv * f.v.z});
}

/// A mirror's answer to `d` at a surface with unit normal `normal` (either sense).
inline base::Direction mirrored(const base::Direction& d, const base::Direction& normal) {
  const double c = 2 * dot(d, normal);
  return base::unit({d.x - c * normal.x, d.y - c * normal.y, d.z - c * normal.z});
}

/// Snell's refraction of `d` through a surface whose unit normal points against `d`, given what `fresnel` found.
inline base::Direction refracted(const base::Direction& d, const base::Direction& normal, double n1, double n2,
                                 double cos_here, double cos_beyond) {
  const double ratio = n1 / n2;
  const double k = ratio * cos_here - cos_beyond;
  return base::unit({ratio * d.x + k * normal.x, ratio * d.y + k * normal.y, ratio * d.z + k * normal.z});
}

/// A direction by Lambert's law about `normal`: density cosine / pi. u, v in (0, 1).
inline base::Direction lambertian(const base::Direction& normal, double u, double v) {
  return turned(normal, std::sqrt(u), v);
}

/// A direction uniform over the sphere. u, v in (0, 1).
inline base::Direction isotropic(double u, double v) {
  const double z = 2 * u - 1;
  const double r = std::sqrt(std::max(0.0, 1 - z * z));
  const base::OnCircle azimuth = base::on_circle(v);
  return {r * azimuth.cosine, r * azimuth.sine, z};
}

}  // namespace throughcure::transport
