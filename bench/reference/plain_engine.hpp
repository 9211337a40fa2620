// The plain engine: photons walked one event at a time through plane layers between four walls. Short and obviously
// right, so that tests can ask it what is true and benchmarks what speed is worth. It shares no code with the engine
// that ships: other random numbers, absorption by weight at collisions, Fresnel by angles, geometry by layer index.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

namespace throughcure::reference {

struct Layer {
  double mua_per_mm = 0;
  double mus_per_mm = 0;
  double g = 0;
  double n = 1;
  double thickness_mm = 1;
};

/// Layers from z = 0 downwards, in a medium of index 1, between walls at x, y = +- half_width_mm.
struct Stack {
  std::vector<Layer> layers;
  double half_width_mm = std::numeric_limits<double>::infinity();
};

struct Photon {
  double x = 0, y = 0, z = 0;
  double ux = 0, uy = 0, uz = 1;
  double w = 1;
};

/// Shares of the launched photons, as sums of weight.
struct Sums {
  double specular = 0;  ///< sent back by the first surface
  double up = 0;        ///< left through z = 0 after entering
  double down = 0;
  double sideways = 0;
  std::vector<double> absorbed;  ///< by layer
};

using Random = std::mt19937_64;

/// Uniform in (0, 1].
inline double draw(Random& random) { return (static_cast<double>(random() >> 11) + 1) * 0x1p-53; }

/// Reflected share of unpolarised light, by the angles before and behind. Source: Born & Wolf, section 1.5.
inline double reflected_share(double n1, double n2, double cosine) {
  if (n1 == n2) return 0;
  const double sine_behind = n1 / n2 * std::sqrt(1 - cosine * cosine);
  if (sine_behind >= 1) return 1;
  if (cosine > 1 - 1e-12) return std::pow((n1 - n2) / (n1 + n2), 2);
  const double a = std::acos(cosine);
  const double b = std::asin(sine_behind);
  return 0.5 * (std::pow(std::sin(a - b) / std::sin(a + b), 2) + std::pow(std::tan(a - b) / std::tan(a + b), 2));
}

/// A new direction by Henyey and Greenstein about the old one.
inline void scatter(Photon& p, double g, Random& random) {
  const double u = draw(random);
  double c = 2 * u - 1;
  if (g != 0) c = (1 + g * g - std::pow((1 - g * g) / (1 - g + 2 * g * u), 2)) / (2 * g);
  const double s = std::sqrt(std::fmax(0, 1 - c * c));
  const double azimuth = 2 * std::numbers::pi * draw(random);
  const double a = s * std::cos(azimuth);
  const double b = s * std::sin(azimuth);
  const double across = std::hypot(p.ux, p.uy);
  if (across < 1e-8) {
    p = {p.x, p.y, p.z, a, b, p.uz > 0 ? c : -c, p.w};
    return;
  }
  // The old direction, the horizontal across it, and the third that is square to both.
  const double ux = c * p.ux + a * p.uy / across + b * p.ux * p.uz / across;
  const double uy = c * p.uy - a * p.ux / across + b * p.uy * p.uz / across;
  const double uz = c * p.uz - b * across;
  const double length = std::sqrt(ux * ux + uy * uy + uz * uz);
  p = {p.x, p.y, p.z, ux / length, uy / length, uz / length, p.w};
}

/// Refracts along one axis: `along` is the direction's part on it, the other two are given by reference.
inline void refract(double n1, double n2, double& along, double& other1, double& other2) {
  other1 *= n1 / n2;
  other2 *= n1 / n2;
  along = std::copysign(std::sqrt(std::fmax(0, 1 - other1 * other1 - other2 * other2)), along);
}

/// Walks a photon that stands on z = 0 outside, going down, until it is gone. `deposit(photon, layer, w)` is told of
/// every absorbed weight.
template <class Deposit>
void walk(const Stack& stack, Photon p, Random& random, Sums& sums, Deposit&& deposit) {
  const std::size_t count = stack.layers.size();
  std::vector<double> top(count + 1, 0);
  for (std::size_t i = 0; i < count; ++i) top[i + 1] = top[i] + stack.layers[i].thickness_mm;

  if (draw(random) <= reflected_share(1, stack.layers[0].n, p.uz)) {
    sums.specular += p.w;
    return;
  }
  refract(1, stack.layers[0].n, p.uz, p.ux, p.uy);
  std::size_t i = 0;
  while (true) {
    const Layer& layer = stack.layers[i];
    const double mut = layer.mua_per_mm + layer.mus_per_mm;
    const auto to = [](double place, double r, double u) {
      return u == 0 ? std::numeric_limits<double>::infinity() : std::fmax(0, (place - r) / u);
    };
    const double to_collision = mut > 0 ? -std::log(draw(random)) / mut : std::numeric_limits<double>::infinity();
    const double to_x = to(std::copysign(stack.half_width_mm, p.ux), p.x, p.ux);
    const double to_y = to(std::copysign(stack.half_width_mm, p.uy), p.y, p.uy);
    const double to_z = to(p.uz > 0 ? top[i + 1] : top[i], p.z, p.uz);
    const double step = std::fmin(std::fmin(to_collision, to_z), std::fmin(to_x, to_y));
    p.x += step * p.ux;
    p.y += step * p.uy;
    p.z += step * p.uz;

    if (step == to_collision) {
      const double lost = p.w * layer.mua_per_mm / mut;
      deposit(p, i, lost);
      sums.absorbed[i] += lost;
      p.w -= lost;
      if (p.w < 1e-3) {
        if (draw(random) > 0.1) return;
        p.w *= 10;
      }
      scatter(p, layer.g, random);
    } else if (step == to_z) {
      const bool leaves = p.uz > 0 ? i + 1 == count : i == 0;
      const double n_beyond = leaves ? 1 : stack.layers[p.uz > 0 ? i + 1 : i - 1].n;
      if (draw(random) <= reflected_share(layer.n, n_beyond, std::abs(p.uz))) {
        p.uz = -p.uz;
      } else if (leaves) {
        (p.uz > 0 ? sums.down : sums.up) += p.w;
        return;
      } else {
        refract(layer.n, n_beyond, p.uz, p.ux, p.uy);
        i = p.uz > 0 ? i + 1 : i - 1;
      }
    } else {
      double& across = step == to_x ? p.ux : p.uy;
      if (draw(random) > reflected_share(layer.n, 1, std::abs(across))) {
        sums.sideways += p.w;
        return;
      }
      across = -across;
    }
  }
}

}  // namespace throughcure::reference
