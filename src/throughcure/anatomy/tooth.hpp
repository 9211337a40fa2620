// A tooth of average form, put together from convex solids: the outer form of the crown, the dentine in it, the pulp.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "throughcure/anatomy/crown_dimensions.hpp"
#include "throughcure/anatomy/quadric.hpp"
#include "throughcure/anatomy/tooth_number.hpp"

namespace throughcure::anatomy {

/// The scene's axes [mm], the same for every tooth: x from mesial (-) to distal (+), y from buccal (-) to lingual (+),
/// z from the cusp tips or the edge (0) towards the root (+); the origin lies over the crown's centre. Left and right
/// teeth, upper and lower ones, are mirror images there.
enum class ToothSide : std::uint8_t { kMesial, kDistal, kBuccal, kLingual, kOcclusal };

constexpr base::Direction outward(ToothSide side) {
  switch (side) {
    case ToothSide::kMesial:
      return {-1, 0, 0};
    case ToothSide::kDistal:
      return {1, 0, 0};
    case ToothSide::kBuccal:
      return {0, -1, 0};
    case ToothSide::kLingual:
      return {0, 1, 0};
    case ToothSide::kOcclusal:
      return {0, 0, -1};
  }
  return {};
}

constexpr std::string_view word(ToothSide side) {
  switch (side) {
    case ToothSide::kMesial:
      return "mesial";
    case ToothSide::kDistal:
      return "distal";
    case ToothSide::kBuccal:
      return "buccal";
    case ToothSide::kLingual:
      return "lingual";
    case ToothSide::kOcclusal:
      return "occlusal";
  }
  return "";
}

/// The faces that bound a tooth. Outer form: inside `walls` and `top`, outside every one of `hollows` (the fossa and
/// the grooves between cusps, each a bowl of air with one face), down to `cervix`; everything ends at `stump`.
struct ToothForm {
  std::vector<Quadric> walls;              ///< the sides: two ellipsoids whose common part is a rounded rectangle
  Quadric top;                             ///< the crests of the cusps, or the incisal edge: a paraboloid about z
  std::vector<Quadric> hollows;            ///< paraboloids about z, open upwards
  std::vector<Quadric> under_fossa;        ///< enamel that dips into the dentine under the fossa: none or one bowl
  std::vector<Quadric> dentine;            ///< crown and root stump
  std::vector<Quadric> plain_dentine;      ///< the same with a flat roof under the fossa, where detail does not count
  std::vector<std::vector<Quadric>> pulp;  ///< chamber first, then its horns; one ellipsoid each
  Quadric cervix;                          ///< above the plane of the cervical line
  Quadric stump;                           ///< above the plane at which the drawn root ends
  double half_width_mm = 0;                ///< half of the mesiodistal diameter
  double half_depth_mm = 0;                ///< half of the buccolingual diameter
  double crown_length_mm = 0;
  double contact_z_mm = 0;  ///< where it is widest mesiodistally
};

/// A tooth of that class and size whose centre lies at `centre_x_mm`..
ToothForm tooth_form(ToothClass tooth_class, const CrownDimensions& sizes, double centre_x_mm = 0);

/// The crown's outer surface above a place: z [mm] of the highest hard tissue of the form there, sides aside.
double surface_z(const ToothForm& form, double x_mm, double y_mm);

/// How far it is from `p`, inside all the faces, along `d` to the first of them [mm]; at most `most_mm`.
double reach(const std::vector<Quadric>& faces, const base::Point& p, const base::Direction& d, double most_mm = 50);

/// The faces of a form grown (or shrunk) by `by_mm`: exact along the axes, near enough elsewhere for thin shells.
std::vector<Quadric> grown_walls(ToothClass tooth_class, const CrownDimensions& sizes, double by_mm);

}  // namespace throughcure::anatomy
