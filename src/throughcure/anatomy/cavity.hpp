// A prepared cavity as plain parameters (Black Class I, II and III), and the flat-walled pieces that it is cut with.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/anatomy/tooth.hpp"
#include "throughcure/base/vec3.hpp"

namespace throughcure::anatomy {

/// The part that opens towards the cusps. Its bottom is the pulpal floor. All lengths in mm; depths from the cusps.
struct OcclusalPart {
  double floor_below_cusps_mm = 4;  ///< the pulpal floor
  double width_mm = 2.5;            ///< buccal to lingual: the isthmus of a Class II
  double length_mm = 5;  ///< mesial to distal, about the middle; on the side of a box it runs into the box instead
};

/// A box that opens towards the neighbour and towards the cusps. Its bottom is the gingival floor, its inner wall the
/// axial wall; they meet in the axial line angle, floor and sides meet in the buccal and the lingual line angle.
struct ProximalBox {
  double floor_below_cusps_mm = 6;  ///< the gingival floor
  double width_mm = 4;              ///< buccal to lingual
  double axial_depth_mm = 1.5;      ///< from the tooth's surface in to the axial wall, at the gingival floor
};

/// A Class III: cut into one proximal side of a front tooth, open towards the tongue and the neighbour, closed towards
/// the lip and the edge. All lengths in mm.
struct FrontPart {
  ToothSide side = ToothSide::kDistal;  ///< mesial or distal
  double roof_below_edge_mm = 3;        ///< the incisal wall
  double floor_below_edge_mm = 6;       ///< the gingival floor
  double axial_depth_mm = 1.5;          ///< from the tooth's surface in to the axial wall, at the gingival floor
  double labial_wall_mm = 1.5;          ///< of the tooth left towards the lip, at half its height
};

/// What was cut. An occlusal part alone is a Class I; a box makes it a Class II: MO, DO or, with both, MOD.
struct Cavity {
  std::optional<OcclusalPart> occlusal;
  std::optional<ProximalBox> mesial;
  std::optional<ProximalBox> distal;
  std::optional<FrontPart> front;  ///< front teeth only, and then alone

  /// The box on a side; the side is mesial or distal.
  [[nodiscard]] const std::optional<ProximalBox>& box(ToothSide side) const {
    return side == ToothSide::kMesial ? mesial : distal;
  }
};

/// "Class I", "Class II, distal-occlusal", "Class III, mesial", ...; empty when nothing is cut.
std::string name(const Cavity& cavity);

/// The deepest floor [mm below the cusps], and the widest part between flat walls [mm]; 1 where there is none.
double deepest_floor_mm(const Cavity& cavity);
double widest_mm(const Cavity& cavity);

/// One convex piece of a cavity, with corners that bound what of it lies in the crown. It is open upwards,
/// or, in a Class III, under a flat roof.
struct CavityPiece {
  std::vector<Quadric> faces;  ///< flat walls and floor, then those faces of the crown that it really meets
  base::Point least;
  base::Point most;
  std::optional<ToothSide> box_of;  ///< the side of a box; nothing for the other parts
};

/// The pieces of a cavity, the boxes first, `inset_mm` inside its floor and walls (but not its openings).
std::vector<CavityPiece> pieces(const Cavity& cavity, const ToothForm& form, double inset_mm = 0);

/// Where along x the axial wall stands [mm], for a depth [mm] in from the tooth's surface at the floor.
double axial_wall_x(ToothSide side, double floor_below_cusps_mm, double axial_depth_mm, const ToothForm& form);
inline double axial_wall_x(const ProximalBox& box, ToothSide side, const ToothForm& form) {
  return axial_wall_x(side, box.floor_below_cusps_mm, box.axial_depth_mm, form);
}

/// Where along y the wall of a Class III towards the lip stands [mm], and the tooth's lingual surface above its floor,
/// both half-way between its axial wall and the tooth's surface.
double labial_wall_y(const FrontPart& part, const ToothForm& form);
double lingual_surface_y(const FrontPart& part, const ToothForm& form);

/// `faces` without those that cut nothing off the box between `least` and `most`: a convex half-space that holds all
/// eight corners holds the box.
std::vector<Quadric> without_idle(const std::vector<Quadric>& faces, const base::Point& least, const base::Point& most);

}  // namespace throughcure::anatomy
