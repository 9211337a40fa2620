#include "throughcure/anatomy/cavity.hpp"

#include <algorithm>

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::Point;

/// How far the occlusal part runs into a box, so that no wall is left between them [mm].
constexpr double kRunsInto = 0.3;

double sign_of(ToothSide side) { return side == ToothSide::kMesial ? -1 : 1; }

std::vector<Quadric> crown_faces(const ToothForm& form) {
  std::vector<Quadric> faces = form.walls;
  faces.push_back(form.top);
  return faces;
}

/// Completes a piece with the crown's faces that it meets.
CavityPiece piece(std::vector<Quadric> flat, const ToothForm& form, const Point& least, const Point& most,
                  std::optional<ToothSide> box_of) {
  for (const Quadric& q : without_idle(crown_faces(form), least, most)) flat.push_back(q);
  return {std::move(flat), least, most, box_of};
}

CavityPiece box_piece(const ProximalBox& box, ToothSide side, const ToothForm& form, double inset) {
  const double s = sign_of(side);
  const double inner = axial_wall_x(box, side, form) + s * inset;
  const double outer = s * form.half_width_mm;
  const double half = box.width_mm / 2 - inset;
  const double floor = box.floor_below_cusps_mm - inset;
  return piece({half_space(Point{inner, 0, 0}, Direction{-s, 0, 0}), half_space(Point{0, 0, floor}, Direction{0, 0, 1}),
                half_space(Point{0, -half, 0}, Direction{0, -1, 0}), half_space(Point{0, half, 0}, Direction{0, 1, 0})},
               form, Point{std::min(inner, outer), -half, 0}, Point{std::max(inner, outer), half, floor}, side);
}

/// The middle of a Class III along x, between its axial wall and the tooth's surface.
double middle_x(const FrontPart& part, const ToothForm& form) {
  return axial_wall_x(part.side, part.floor_below_edge_mm, part.axial_depth_mm / 2, form);
}

CavityPiece front_piece(const FrontPart& part, const ToothForm& form, double inset) {
  const double s = sign_of(part.side);
  const double inner = axial_wall_x(part.side, part.floor_below_edge_mm, part.axial_depth_mm, form) + s * inset;
  const double outer = s * form.half_width_mm;
  const double labial = labial_wall_y(part, form) + inset;
  const double roof = part.roof_below_edge_mm + inset;
  const double floor = part.floor_below_edge_mm - inset;
  return piece(
      {half_space(Point{inner, 0, 0}, Direction{-s, 0, 0}), half_space(Point{0, 0, floor}, Direction{0, 0, 1}),
       half_space(Point{0, labial, 0}, Direction{0, -1, 0}), half_space(Point{0, 0, roof}, Direction{0, 0, -1})},
      form, Point{std::min(inner, outer), labial, roof}, Point{std::max(inner, outer), form.half_depth_mm, floor},
      std::nullopt);
}

CavityPiece occlusal_piece(const OcclusalPart& part, const Cavity& cavity, const ToothForm& form, double inset) {
  double from = -part.length_mm / 2 + inset;
  double to = part.length_mm / 2 - inset;
  if (cavity.mesial) from = axial_wall_x(*cavity.mesial, ToothSide::kMesial, form) - kRunsInto;
  if (cavity.distal) to = axial_wall_x(*cavity.distal, ToothSide::kDistal, form) + kRunsInto;
  const double half = part.width_mm / 2 - inset;
  const double floor = part.floor_below_cusps_mm - inset;
  return piece({half_space(Point{0, 0, floor}, Direction{0, 0, 1}), half_space(Point{from, 0, 0}, Direction{-1, 0, 0}),
                half_space(Point{to, 0, 0}, Direction{1, 0, 0}), half_space(Point{0, -half, 0}, Direction{0, -1, 0}),
                half_space(Point{0, half, 0}, Direction{0, 1, 0})},
               form, Point{from, -half, 0}, Point{to, half, floor}, std::nullopt);
}

}  // namespace

std::string name(const Cavity& cavity) {
  if (cavity.mesial && cavity.distal) return "Class II, mesial-occlusal-distal";
  if (cavity.mesial) return "Class II, mesial-occlusal";
  if (cavity.distal) return "Class II, distal-occlusal";
  if (cavity.front) return "Class III, " + std::string(word(cavity.front->side));
  return cavity.occlusal ? "Class I" : "";
}

double deepest_floor_mm(const Cavity& cavity) {
  return std::max({cavity.occlusal ? cavity.occlusal->floor_below_cusps_mm : 0,
                   cavity.mesial ? cavity.mesial->floor_below_cusps_mm : 0,
                   cavity.distal ? cavity.distal->floor_below_cusps_mm : 0,
                   cavity.front ? cavity.front->floor_below_edge_mm : 0});
}

double widest_mm(const Cavity& cavity) {
  const double widest =
      std::max({cavity.occlusal ? cavity.occlusal->width_mm : 0, cavity.mesial ? cavity.mesial->width_mm : 0,
                cavity.distal ? cavity.distal->width_mm : 0});
  return widest > 0 ? widest : 1;
}

double axial_wall_x(ToothSide side, double floor_below_cusps_mm, double axial_depth_mm, const ToothForm& form) {
  const double s = sign_of(side);
  return s * (reach(form.walls, Point{0, 0, floor_below_cusps_mm}, Direction{s, 0, 0}) - axial_depth_mm);
}

double labial_wall_y(const FrontPart& part, const ToothForm& form) {
  const double half_height = (part.roof_below_edge_mm + part.floor_below_edge_mm) / 2;
  return part.labial_wall_mm -
         reach(crown_faces(form), Point{middle_x(part, form), 0, half_height}, Direction{0, -1, 0});
}

double lingual_surface_y(const FrontPart& part, const ToothForm& form) {
  return reach(crown_faces(form), Point{middle_x(part, form), 0, part.floor_below_edge_mm}, Direction{0, 1, 0});
}

std::vector<CavityPiece> pieces(const Cavity& cavity, const ToothForm& form, double inset_mm) {
  std::vector<CavityPiece> result;
  for (const ToothSide side : {ToothSide::kMesial, ToothSide::kDistal}) {
    if (const auto& box = cavity.box(side)) result.push_back(box_piece(*box, side, form, inset_mm));
  }
  if (cavity.occlusal) result.push_back(occlusal_piece(*cavity.occlusal, cavity, form, inset_mm));
  if (cavity.front) result.push_back(front_piece(*cavity.front, form, inset_mm));
  return result;
}

std::vector<Quadric> without_idle(const std::vector<Quadric>& faces, const Point& least, const Point& most) {
  std::vector<Quadric> needed;
  for (const Quadric& q : faces) {
    bool idle = true;
    for (const double x : {least.x, most.x}) {
      for (const double y : {least.y, most.y}) {
        for (const double z : {least.z, most.z}) idle = idle && value(q, Point{x, y, z}) <= 0;
      }
    }
    if (!idle) needed.push_back(q);
  }
  return needed;
}

}  // namespace throughcure::anatomy
