// From how a tip is held to where it is: the axis, the gap to what it would touch, the hand's error.
#pragma once

#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/plan/case.hpp"
#include "throughcure/plan/verdict.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::plan {

/// A tip's axis and gap: a pose without words.
struct Held {
  base::Point aim{};       ///< a point of the axis
  base::Direction axis{};  ///< leaves the light
  double standoff_mm = 0;  ///< >= 0
};

/// The axis points from the side that the tip comes from to the other; the tilt turns it about the aim, so that the tip
/// moves to `tilt_to`.
Held held(const Pose& pose);

/// How a hand differs from its plan in one exposure.
struct HandError {
  double standoff_mm = 0;
  double tilt_across_deg = 0;  ///< about two directions square to each other and to the axis
  double tilt_along_deg = 0;
  double wander_across_mm = 0;  ///< of the aim
  double wander_along_mm = 0;
};

/// The same pose with a hand's error; the gap never falls below 0.
Held moved(const Held& pose, const HandError& error);

/// `count` errors that stand for a hand, each as likely as the others: normal, by a sequence that fills the five
/// dimensions evenly (R_d of Roberts 2018: fractional parts of multiples of powers of 1/phi_5, from memory); none of
/// them where every sd is 0, only the plan. The same for the same count and `which`.
std::vector<HandError> hand_errors(const Hand& hand, std::size_t count, std::size_t which);

/// Puts the tip so that its face, moved along the axis, stays `standoff_mm` away from touching anything: every medium
/// but the background stops it, gingiva too. The face is looked at in 217 points, so a cusp between two of them may
/// come nearer by some hundredths of a millimetre.
transport::PosedTip posed_tip(const anatomy::Scene& scene, const optics::TipSource& source, const Held& pose);

/// Where that is, for drawings and words. `half_angle_deg` is that of the source's radiance.
TipPlace place_of(const transport::PosedTip& tip);

/// Distance along the axis from the tip's face to the aim [mm]: to the floor when it is aimed at the floor.
double distance_to_aim_mm(const transport::PosedTip& tip, const Held& pose);

}  // namespace throughcure::plan
