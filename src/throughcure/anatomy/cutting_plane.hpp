// The planes that a restoration is shown in: lengthwise through the tooth, from mesial to distal or from buccal to
// lingual.
#pragma once

#include <cstdint>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/section.hpp"

namespace throughcure::anatomy {

enum class CutDirection : std::uint8_t {
  kMesiodistal,  ///< mesial on the left, distal on the right, cusps up
  kBuccolingual  ///< buccal on the left, lingual on the right, cusps up
};

struct CuttingPlane {
  CutDirection direction = CutDirection::kMesiodistal;
  double at_mm = 0;  ///< y of a mesiodistal cut, x of a buccolingual one
};

/// How much of the air over the cusps a section shows: room for a tip that is held off by some 6 mm [mm].
inline constexpr double kHeadroom_mm = 10;

/// The rectangle of a cut: the tooth, 2.6 mm to either side of it, from kHeadroom_mm over the cusps to 2.2 mm below the
/// cervical line. Every tooth is shown with mesial (or buccal) on the left, whichever side of the patient it is from.
SectionPlane section_plane(const Site& site, const CuttingPlane& cut);

/// Distance of a place from a cut [mm], towards lingual or distal.
double off_plane_mm(const CuttingPlane& cut, const base::Point& p);

}  // namespace throughcure::anatomy
