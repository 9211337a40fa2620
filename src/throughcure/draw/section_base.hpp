// The part of a section drawing that no pose of the light changes: outlines, what lies where, and the tissues' names.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/anatomy/section.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// What a medium is drawn as; the undermost first.
enum class Tissue : std::uint8_t {
  kNeighbourDentine,
  kNeighbourEnamel,
  kGingiva,
  kDentine,
  kPulp,
  kEnamel,
  kAdhesive,
  kResin,
  kWedge,
  kDam,
  kBand
};

/// One medium in the cut, in sheet coordinates [mm].
struct Area {
  Tissue tissue = Tissue::kEnamel;
  std::size_t increment = 0;  ///< of resin
  std::vector<Line> rings;
  std::vector<Line> lines;  ///< the rings without what runs along the window's edge
};

/// A name and where it stands; `from` is a place of what is named where a thin line must lead to it.
struct Name {
  std::string words;
  Place middle;
  std::optional<Place> from{};
  std::optional<std::size_t> increment{};  ///< where it names one
  bool upright = false;                    ///< written upwards, as a part is narrow
};

/// From the cut to the sheet: `per_mm` sheet millimetres make one of the tooth's.
struct SheetScale {
  anatomy::SectionPlane plane;
  Place corner;
  double per_mm = 1;

  [[nodiscard]] Place at(double right_mm, double down_mm) const {
    return {corner.x_mm + right_mm * per_mm, corner.y_mm + down_mm * per_mm};
  }
  /// Where a place of the scene is projected.
  [[nodiscard]] Place at(const base::Point& p) const;
  [[nodiscard]] double width_mm() const { return plane.width_mm * per_mm; }
  [[nodiscard]] double height_mm() const { return plane.height_mm * per_mm; }
};

struct SectionBase {
  anatomy::CuttingPlane cut;
  SheetScale scale;
  std::string tooth;  ///< "Lower left first molar, 36"
  std::string where;  ///< "cut from mesial to distal through the middle"
  std::string left;   ///< "mesial"
  std::string right;
  std::string left_of_plane;         ///< which side of the plane negative distances are: "buccal"
  std::string right_of_plane;        ///< and positive ones
  std::vector<Area> areas;           ///< in the order of painting
  std::vector<Name> names;           ///< of tissues, band, neighbour and increments
  anatomy::Section media;            ///< what lies where, in pixels of 0.1 mm
  anatomy::MediumId background = 0;  ///< air
  std::vector<bool> resin;           ///< by MediumId

  /// What lies at a place of the sheet, to a pixel; nothing beyond the window.
  [[nodiscard]] std::optional<anatomy::MediumId> medium_at(const Place& p) const;
};

/// The sheet is 100 mm wide, as every picture of this room.
inline constexpr double kSheet_mm = 100;
inline constexpr double kMargin_mm = 4;
inline constexpr double kSmall_mm = 3.3;  ///< type: a label (12 pixels on a phone's 360)

/// Cells further than this from the cut are not marked [mm].
inline constexpr double kNearCut_mm = 0.6;

/// The outlines of a state in a cut: takes some tenths of a second. Expects a site without problems.
SectionBase section_base(const anatomy::Site& site, const anatomy::SceneState& state, const anatomy::CuttingPlane& cut);

}  // namespace throughcure::draw
