// What the dentist puts in: adhesive, increments, matrix band, wedge; and the site that all of it belongs to.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "throughcure/anatomy/cavity.hpp"
#include "throughcure/anatomy/crown_dimensions.hpp"
#include "throughcure/anatomy/tooth_number.hpp"

namespace throughcure::anatomy {

/// How an increment is laid on what is there. The rise of its surface is its thickness.
enum class Layering : std::uint8_t {
  kHorizontal,      ///< everywhere
  kObliqueBuccal,   ///< at the buccal wall, and none at the lingual wall: a wedge
  kObliqueLingual,  ///< at the lingual wall, and none at the buccal wall
  kBulk             ///< up to the crown's surface in one go; has no thickness of its own
};

struct Increment {
  Layering layering = Layering::kHorizontal;
  double thickness_mm = 2;
};

enum class MatrixKind : std::uint8_t { kMetal, kClear };

/// A band around the tooth; it follows the crown's own form, as a contoured band does.
struct Matrix {
  MatrixKind kind = MatrixKind::kMetal;
  double thickness_mm = 0.04;
  double upper_edge_mm = 0;    ///< below the cusps; negative stands above them
  double beyond_floor_mm = 1;  ///< how far it reaches below the deepest gingival floor
};

struct Restoration {
  double adhesive_mm = 0.05;  ///< on floor and walls
  std::vector<Increment> increments;
  std::optional<Matrix> matrix;
  bool wedge = false;  ///< between the neighbour and the tooth, below every box, while the band is on
  bool dam = false;    ///< rubber dam over the gingiva
};

/// One tooth with its cavity, its restoration and what stands around it. Lengths in mm.
struct Site {
  ToothNumber tooth;
  CrownDimensions crown;
  Cavity cavity;
  Restoration restoration;
  bool mesial_neighbour = false;  ///< a sound tooth of the same class and size that touches at the contact
  bool distal_neighbour = false;
  std::optional<double>
      gingiva_crest_mm;  ///< below the cusps, between the teeth; 0.3 above the cervical line if unsaid
  ToothNotation notation = ToothNotation::kIso3950;  ///< in which the tooth is named where a person reads it

  [[nodiscard]] bool neighbour(ToothSide side) const {
    return side == ToothSide::kMesial ? mesial_neighbour : distal_neighbour;
  }
};

/// The surface of the resin after an increment: a plane that is level along x, with a height over the deepest floor at
/// the buccal and at the lingual wall (of the widest part).
struct ResinLevel {
  double buccal_mm = 0;
  double lingual_mm = 0;
};

/// The levels after each increment, in order.
std::vector<ResinLevel> resin_levels(const Site& site);

/// z [mm] of a level at a place across the tooth.
double level_z(const Site& site, const ResinLevel& level, double y_mm);

/// z [mm] of the highest point of the crown's surface that was cut away, which the last increment must reach.
double cavity_brim_z(const Cavity& cavity, const ToothForm& form);

}  // namespace throughcure::anatomy
