// A prepared cavity as plain parameters (Black Class I and II), and the flat-walled pieces that it is cut with.
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

/// What was cut. An occlusal part alone is a Class I; a box makes it a Class II: MO, DO or, with both, MOD.
struct Cavity {
  std::optional<OcclusalPart> occlusal;
  std::optional<ProximalBox> mesial;
  std::optional<ProximalBox> distal;

  /// The box on a side; the side is mesial or distal.
  [[nodiscard]] const std::optional<ProximalBox>& box(ToothSide side) const {
    return side == ToothSide::kMesial ? mesial : distal;
  }
};

/// "Class I", "Class II, distal-occlusal", ...; empty when nothing is cut.
std::string name(const Cavity& cavity);

/// The deepest floor [mm below the cusps] and the widest part [mm].
double deepest_floor_mm(const Cavity& cavity);
double widest_mm(const Cavity& cavity);

/// One convex piece of a cavity, with corners that bound what of it lies in the crown. It is open upwards.
struct CavityPiece {
  std::vector<Quadric> faces;  ///< flat walls and floor, then those faces of the crown that it really meets
  base::Point least;
  base::Point most;
  std::optional<ToothSide> box_of;  ///< the side of a box; nothing for the occlusal part
};

/// The pieces of a cavity, the boxes first, `inset_mm` inside its floor and walls (but not its openings).
std::vector<CavityPiece> pieces(const Cavity& cavity, const ToothForm& form, double inset_mm = 0);

/// Where along x the axial wall of a box stands [mm].
double axial_wall_x(const ProximalBox& box, ToothSide side, const ToothForm& form);

/// `faces` without those that cut nothing off the box between `least` and `most`: a convex half-space that holds all
/// eight corners holds the box.
std::vector<Quadric> without_idle(const std::vector<Quadric>& faces, const base::Point& least, const base::Point& most);

}  // namespace throughcure::anatomy
