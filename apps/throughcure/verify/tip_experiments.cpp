// A tip in front of a sensor: irradiance by distance, and what losses with distance a tip can have at all.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "experiments.hpp"
#include "throughcure/optics/axial_view.hpp"
#include "throughcure/optics/tip_map.hpp"

namespace throughcure::verify {

namespace {

/// Error of the sums over tip and sensor, by the value.
constexpr double kViewShare = 2e-3;

/// Shapes from a narrow beam to a Lambertian one, with and without a tail.
constexpr std::array kExponents = {0.0, 1.0, 2.0, 4.0, 7.0, 12.0, 20.0, 35.0, 60.0, 100.0, 200.0, 400.0};
constexpr std::array kTailShares = {0.0, 0.1, 0.2, 0.3, 0.4, 0.5};
constexpr int kSizes = 4;  ///< of tips and of sensors, from the smallest to the largest

struct Range {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
};

double between(double from, double to, int i) { return from + (to - from) * i / (kSizes - 1); }

/// One tip and one sensor at contact, at the distance asked for, and where the loss is known.
struct Views {
  optics::AxialView contact;
  optics::AxialView there;
  optics::AxialView known;
};

double loss(const optics::AxialView& contact, const optics::AxialView& there, const optics::AngularShape& shape) {
  return 1 - optics::irradiance_per_mw(there, shape) / optics::irradiance_per_mw(contact, shape);
}

/// Takes the losses of every tail share. With a loss known elsewhere, only those of the core that gives it: losses fall
/// as the core grows narrower, so it is found between two neighbours by a straight line.
void take_losses(const Views& views, const exchange::DistanceLossQuestion& question, Range& range) {
  for (const double tail_share : kTailShares) {
    double known_before = 0;
    double before = 0;
    for (std::size_t i = 0; i < kExponents.size(); ++i) {
      const optics::AngularShape shape{.core_exponent = kExponents[i], .tail_share = tail_share};
      const double now = loss(views.contact, views.there, shape);
      if (!question.known_loss) {
        range.take(now);
        continue;
      }
      const double known_now = loss(views.contact, views.known, shape);
      const double wanted = *question.known_loss;
      if (i > 0 && (known_before - wanted) * (known_now - wanted) <= 0 && known_before != known_now) {
        range.take(before + (now - before) * (wanted - known_before) / (known_now - known_before));
      }
      known_before = known_now;
      before = now;
    }
  }
}

}  // namespace

Answer answer(const exchange::TipIrradianceQuestion& question) {
  const optics::TipMap map = optics::tip_map(optics::UniformDisc{}, question.tip_diameter_mm);
  const optics::AxialView view = optics::axial_view(map, question.distance_mm, question.sensor_diameter_mm / 2);
  const double area = std::numbers::pi / 4 * question.tip_diameter_mm * question.tip_diameter_mm;
  const double value = optics::irradiance_per_mw(view, question.shape) * area;
  return {.value = value, .tolerance = kViewShare * value};
}

Answer answer(const exchange::DistanceLossQuestion& question) {
  Range range;
  for (int tip = 0; tip < kSizes; ++tip) {
    const optics::TipMap map =
        optics::tip_map(optics::UniformDisc{}, between(question.tip_from_mm, question.tip_to_mm, tip));
    for (int sensor = 0; sensor < kSizes; ++sensor) {
      const double radius = between(question.sensor_from_mm, question.sensor_to_mm, sensor) / 2;
      take_losses({.contact = optics::axial_view(map, 0, radius),
                   .there = optics::axial_view(map, question.distance_mm, radius),
                   .known = optics::axial_view(map, question.known_at_mm.value_or(0), radius)},
                  question, range);
    }
  }
  if (!(range.low <= range.high)) return {};
  return {.value = (range.low + range.high) / 2, .low = range.low, .high = range.high};
}

}  // namespace throughcure::verify
