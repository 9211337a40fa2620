#include "throughcure/plan/aim.hpp"

#include "throughcure/anatomy/tooth.hpp"

namespace throughcure::plan {

namespace {

using anatomy::ToothSide;
using base::Direction;
using base::Point;

/// Middle of a box along x, at its gingival floor.
double middle_x(const anatomy::ProximalBox& box, ToothSide side, const anatomy::ToothForm& form) {
  const double s = side == ToothSide::kMesial ? -1 : 1;
  const double outer = s * anatomy::reach(form.walls, Point{0, 0, box.floor_below_cusps_mm}, Direction{s, 0, 0});
  return (anatomy::axial_wall_x(box, side, form) + outer) / 2;
}

void add_box(std::vector<Aim>& aims, const anatomy::Site& site, ToothSide side, const anatomy::ToothForm& form) {
  const auto& box = site.cavity.box(side);
  if (!box) return;
  const bool distal = side == ToothSide::kDistal;
  const double x = middle_x(*box, side, form);
  const double floor = box->floor_below_cusps_mm;
  aims.push_back({distal ? "distal box" : "mesial box", Point{x, 0, (anatomy::surface_z(form, x, 0) + floor) / 2}});
  aims.push_back({distal ? "distal box floor" : "mesial box floor", Point{x, 0, floor}});
}

}  // namespace

std::vector<Aim> aims(const anatomy::Site& site) {
  const anatomy::ToothForm form = anatomy::tooth_form(site.tooth.tooth_class(), site.crown);
  std::vector<Aim> found;
  add_box(found, site, ToothSide::kMesial, form);
  add_box(found, site, ToothSide::kDistal, form);
  if (const auto& occlusal = site.cavity.occlusal) {
    found.push_back({"occlusal", Point{0, 0, occlusal->floor_below_cusps_mm}});
  }
  if (const auto& front = site.cavity.front) {
    const double x = anatomy::axial_wall_x(front->side, front->floor_below_edge_mm, front->axial_depth_mm / 2, form);
    const double y = (anatomy::labial_wall_y(*front, form) + anatomy::lingual_surface_y(*front, form)) / 2;
    found.push_back({"front", Point{x, y, (front->roof_below_edge_mm + front->floor_below_edge_mm) / 2}});
  }
  return found;
}

std::optional<base::Point> aim_called(const anatomy::Site& site, std::string_view name) {
  for (const Aim& aim : aims(site)) {
    if (aim.name == name) return aim.at;
  }
  return std::nullopt;
}

}  // namespace throughcure::plan
