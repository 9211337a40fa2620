#include "throughcure/anatomy/tooth.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::Point;

constexpr double kFree = std::numeric_limits<double>::infinity();

// What the crown tables do not give: proportions of an average form (kind: from memory; dental anatomy handbooks).
constexpr double kSquareness = 1.2;      ///< how far a side reaches before it rounds, in half-diameters across
constexpr double kCuspAcross = 0.58;     ///< cusp tips from the middle, share of the half-depth
constexpr double kCuspAlong = 0.40;      ///< the same along the arch, molars only, share of the half-width
constexpr double kRidgePlace = 0.88;     ///< crest of the marginal ridge, share of the half-width
constexpr double kRidgeDepth = 0.45;     ///< depth of the fossa's bowl at 0.9 of the half-width, share of its depth
constexpr double kCuspFall = 0.64;       ///< fall of the crests towards the outside, share of the fossa's depth
constexpr double kGrooveDepth = 0.5;     ///< depth of the groove between cusps, share of the fossa's depth
constexpr double kEdgeAt = 0.75;         ///< where an incisor is thickest, share of the crown's length
constexpr double kCervicalEnamel = 0.1;  ///< what is left of the enamel at the cervical line [mm]
constexpr double kStump = 6;             ///< drawn root below the cervical line [mm]

/// Half-lengths of an ellipsoid about z = `z` that has a half-width at two heights: the wider one is its belly.
struct Barrel {
  double z = 0;
  double half = 0;
  double radius_z = 0;
};
Barrel barrel(double z_upper, double half_upper, double z_lower, double half_lower) {
  const bool belly_above = half_upper >= half_lower;
  const double wide = std::max(half_upper, half_lower);
  const double share = std::min(0.985, std::min(half_upper, half_lower) / wide);
  return {belly_above ? z_upper : z_lower, wide, (z_lower - z_upper) / std::sqrt(1 - share * share)};
}

/// Heights at which the sides are widest.
double contact_z(ToothClass c, double length) {
  constexpr double share[] = {0.2, 0.3, 0.33, 0.33};
  return share[static_cast<std::size_t>(c)] * length;
}
double contour_z(ToothClass c, double length) {
  // The bulge of a front tooth lies lower, but there its wedge and not its sides bounds it.
  return (c == ToothClass::kIncisor || c == ToothClass::kCanine ? 0.4 : 0.55) * length;
}

/// Two ellipsoids at the sides: their half-lengths at their own heights, and those at the cervical line.
struct Sides {
  double half_x = 0;
  double at_z_x = 0;
  double half_y = 0;
  double at_z_y = 0;
  double cervix_x = 0;
  double cervix_y = 0;
};
std::vector<Quadric> walls(const Sides& s, double centre_x, double length) {
  const Barrel along = barrel(s.at_z_x, s.half_x, length, s.cervix_x);
  const Barrel across = barrel(s.at_z_y, s.half_y, length, s.cervix_y);
  return {ellipsoid(Point{centre_x, 0, along.z}, {along.half, kSquareness * s.half_y, along.radius_z}),
          ellipsoid(Point{centre_x, 0, across.z}, {kSquareness * s.half_x, across.half, across.radius_z})};
}

/// The outer sides, grown by a thickness.
std::vector<Quadric> outer_walls(ToothClass c, const CrownDimensions& s, double centre_x, double by_mm) {
  const double length = s.crown_length.value;
  return walls({s.mesiodistal.value / 2 + by_mm, contact_z(c, length), s.buccolingual.value / 2 + by_mm,
                contour_z(c, length), s.mesiodistal_cervix.value / 2 + by_mm, s.buccolingual_cervix.value / 2 + by_mm},
               centre_x, length);
}

/// The sides of the dentine: the enamel is thickest in the occlusal third and runs out at the cervical line, where the
/// dentine of most teeth is widest.
std::vector<Quadric> dentine_walls(const CrownDimensions& s, double centre_x) {
  const double in = s.enamel_at_side.value;
  const double upper = 0.3 * s.crown_length.value;
  return walls({s.mesiodistal.value / 2 - in, upper, s.buccolingual.value / 2 - in, upper,
                s.mesiodistal_cervix.value / 2 - kCervicalEnamel, s.buccolingual_cervix.value / 2 - kCervicalEnamel},
               centre_x, s.crown_length.value);
}

/// A paraboloid about z: inside where z - tip_z >= across_x (x/a)^2 + across_y (y/b)^2, all in mm.
Quadric dome(double centre_x, double tip_z, double fall_x, double a, double fall_y, double b) {
  return paraboloid(Point{centre_x, 0, tip_z}, Direction{0, 0, 1}, Direction{1, 0, 0}, 1,
                    fall_x > 0 ? a / std::sqrt(fall_x) : kFree, b / std::sqrt(fall_y));
}

/// A bowl of the given depth below z = 0, open upwards, with half-widths there.
Quadric bowl(double centre_x, double tip_z, double depth, double half_x, double half_y) {
  return paraboloid(Point{centre_x, 0, tip_z}, Direction{0, 0, -1}, Direction{1, 0, 0}, depth, half_x, half_y);
}

/// Cusps about a fossa. The crests (a dome) and the fossa (a bowl) pass through z = 0 together at the cusp tips, and so
/// does the groove between the cusps of a molar; nothing of the crown stands above them.
void add_cusps(ToothForm& form, ToothClass c, const CrownDimensions& s, double centre_x) {
  const double a = form.half_width_mm;
  const double b = form.half_depth_mm;
  const double deep = s.cusp_height.value;
  const double tip_x = c == ToothClass::kMolar ? kCuspAlong : 0;
  const double tip_y = kCuspAcross;
  const double bowl_x = 0.9 / std::sqrt(1 - kRidgeDepth);
  const double bowl_y = tip_y / std::sqrt(1 - (tip_x / bowl_x) * (tip_x / bowl_x));
  const double fall_y = kCuspFall * deep;
  // The dome meets the bowl at the crest of the marginal ridge.
  const double ridge = deep * (1 - (kRidgePlace / bowl_x) * (kRidgePlace / bowl_x));
  const double fall_x = (ridge + fall_y * tip_y * tip_y) / (kRidgePlace * kRidgePlace - tip_x * tip_x);
  const double tip_z = -fall_x * tip_x * tip_x - fall_y * tip_y * tip_y;
  form.top = dome(centre_x, tip_z, fall_x, a, fall_y, b);
  form.hollows.push_back(bowl(centre_x, deep, deep, bowl_x * a, bowl_y * b));
  if (tip_x > 0) form.hollows.push_back(bowl(centre_x, kGrooveDepth * deep, kGrooveDepth * deep, tip_x * a, kFree));
  form.under_fossa.push_back(bowl(centre_x, deep + s.enamel_in_fossa.value, deep, bowl_x * a, bowl_y * b));
  form.dentine.push_back(dome(centre_x, tip_z + s.enamel_at_cusp.value, fall_x, a, fall_y, b));
  form.plain_dentine.push_back(
      half_space(Point{0, 0, std::max(deep + s.enamel_in_fossa.value, s.enamel_at_cusp.value)}, Direction{0, 0, -1}));
}

/// The wedge of an incisor, or the pointed one of a canine.
void add_edge(ToothForm& form, ToothClass c, const CrownDimensions& s, double centre_x) {
  const double fall = kEdgeAt * s.crown_length.value;
  const double in = s.enamel_at_side.value;
  const double tip = s.enamel_at_cusp.value;
  const double fall_x = c == ToothClass::kCanine ? 2.5 : 0;  // how far a canine's shoulders lie below its tip [mm]
  form.top = dome(centre_x, 0, fall_x, form.half_width_mm, fall, form.half_depth_mm);
  form.dentine.push_back(dome(centre_x, tip, fall_x, form.half_width_mm, fall - tip, form.half_depth_mm - in));
  form.plain_dentine.push_back(form.dentine.back());
}

void add_pulp(ToothForm& form, ToothClass c, const CrownDimensions& s, double centre_x) {
  const double half_height = s.pulp_height.value / 2;
  const double x = s.pulp_mesiodistal.value / 2;
  const double y = s.pulp_buccolingual.value / 2;
  const double roof = s.pulp_roof.value;
  form.pulp.push_back({ellipsoid(Point{centre_x, 0, roof + half_height}, {x, y, half_height})});
  const double rise = s.pulp_horn.value;
  if (rise <= 0) return;
  const double foot = 0.3 * half_height;  // horns stand on the chamber's shoulders, a little below its ceiling
  for (const double at_x : c == ToothClass::kMolar ? std::vector<double>{-0.5 * x, 0.5 * x} : std::vector<double>{0}) {
    for (const double at_y : {-0.6 * y, 0.6 * y}) {
      form.pulp.push_back(
          {ellipsoid(Point{centre_x + at_x, at_y, roof + foot}, {0.22 * x + 0.1, 0.3 * y, rise + foot})});
    }
  }
}

}  // namespace

ToothForm tooth_form(ToothClass tooth_class, const CrownDimensions& sizes, double centre_x_mm) {
  ToothForm form;
  form.half_width_mm = sizes.mesiodistal.value / 2;
  form.half_depth_mm = sizes.buccolingual.value / 2;
  form.crown_length_mm = sizes.crown_length.value;
  form.contact_z_mm = contact_z(tooth_class, sizes.crown_length.value);
  form.cervix = half_space(Point{0, 0, form.crown_length_mm}, Direction{0, 0, 1});
  form.stump = half_space(Point{0, 0, form.crown_length_mm + kStump}, Direction{0, 0, 1});
  form.walls = outer_walls(tooth_class, sizes, centre_x_mm, 0);
  form.dentine = dentine_walls(sizes, centre_x_mm);
  form.plain_dentine = form.dentine;
  if (sizes.cusp_height.value > 0) {
    add_cusps(form, tooth_class, sizes, centre_x_mm);
  } else {
    add_edge(form, tooth_class, sizes, centre_x_mm);
  }
  form.dentine.push_back(form.stump);
  form.plain_dentine.push_back(form.stump);
  add_pulp(form, tooth_class, sizes, centre_x_mm);
  return form;
}

double surface_z(const ToothForm& form, double x_mm, double y_mm) {
  // Paraboloids about z: f is linear in z with slope -1 (dome) or +1 (bowl), so its value at z = 0 says where f = 0.
  double z = value(form.top, Point{x_mm, y_mm, 0});
  for (const Quadric& hollow : form.hollows) z = std::max(z, -value(hollow, Point{x_mm, y_mm, 0}));
  return z;
}

double reach(const std::vector<Quadric>& faces, const Point& p, const Direction& d, double most_mm) {
  const auto inside = [&](double t) {
    return std::ranges::all_of(faces, [&](const Quadric& q) { return value(q, p + d * t) <= 0; });
  };
  if (inside(most_mm)) return most_mm;
  double low = 0;
  double high = most_mm;
  for (int halving = 0; halving < 60; ++halving) {
    const double middle = (low + high) / 2;
    (inside(middle) ? low : high) = middle;
  }
  return low;
}

std::vector<Quadric> grown_walls(ToothClass tooth_class, const CrownDimensions& sizes, double by_mm) {
  return outer_walls(tooth_class, sizes, 0, by_mm);
}

}  // namespace throughcure::anatomy
