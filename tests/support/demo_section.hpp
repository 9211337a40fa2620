// What a light from above would roughly leave in the demo's box: an invented field that falls with depth.
#pragma once

#include <cmath>
#include <vector>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/anatomy/section_lattice.hpp"
#include "throughcure/anatomy/targets.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::tests {

/// Conversion against depth below the cusps, of the increment's own exposure; `dose` scales the light.
inline double demo_conversion(double z_mm, double dose) {
  return 0.68 * (1 - std::exp(-dose * std::exp(-0.55 * z_mm)));
}

inline plan::FieldPoint demo_field_point(const base::Point& at, std::size_t increment, double dose) {
  const double x = demo_conversion(at.z + 0.15 * std::abs(at.x - 3.5), dose);
  return {.at = at, .increment = increment, .conversion = x, .hardness_ratio = x < 0.1 ? 0 : 1.02 * x / 0.68};
}

inline std::vector<plan::FieldPoint> demo_field(const anatomy::Site& site, const anatomy::CuttingPlane& cut,
                                                std::size_t increments, double dose) {
  std::vector<plan::FieldPoint> field;
  for (const anatomy::LatticePlace& p : anatomy::section_lattice(site, anatomy::section_plane(site, cut), 0.5)) {
    if (p.increment < increments) field.push_back(demo_field_point(p.centre, p.increment, dose));
  }
  return field;
}

inline std::vector<plan::CellVerdict> demo_cells(const anatomy::Site& site, double dose) {
  std::vector<plan::CellVerdict> cells;
  for (const anatomy::Target& target : anatomy::targets(site)) {
    const plan::FieldPoint p = demo_field_point(target.centre, target.increment, dose);
    const double ratio = p.hardness_ratio;
    cells.push_back({.target = target,
                     .conversion = {p.conversion - 0.04, p.conversion, p.conversion + 0.03},
                     .share_of_reference = {ratio, ratio, ratio},
                     .hardness_ratio = {ratio - 0.06, ratio, ratio + 0.05},
                     .probability = 1 / (1 + std::exp(-(ratio - 0.8) / 0.02)),
                     .relative_se = 0.02,
                     .light_j_cm2 = 10,
                     .decides = target.kind != anatomy::TargetKind::kTop});
  }
  return cells;
}

inline plan::TipPlace demo_tip(double standoff_mm, double tilt_deg) {
  const double tilt = tilt_deg * 3.14159265358979 / 180;
  // The axis goes through (4, 0, 3); the tip leans towards distal.
  const double back = 3 + standoff_mm;
  return {.centre = {4 + back * std::sin(tilt), 0, 3 - back * std::cos(tilt)},
          .axis = base::unit(base::Vec{-std::sin(tilt), 0, std::cos(tilt)}),
          .radius_mm = 4.5,
          .half_angle_deg = 20};
}

}  // namespace throughcure::tests
