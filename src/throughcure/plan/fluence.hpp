// What the places of a case get from each exposure of a schedule, draw by draw, from paths already walked.
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "throughcure/base/estimate.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/rays.hpp"
#include "throughcure/transport/posed_tip.hpp"

namespace throughcure::plan {

/// Fluence rates worth light at camphorquinone's peak [mW/cm2] at full power, by draw, exposure and place.
struct Fluence {
  std::size_t exposures = 0;
  std::size_t places = 0;
  std::size_t bands = 0;
  std::vector<std::size_t> draws;              ///< indices into Ground::draws
  std::vector<double> phi_mw_cm2;              ///< [draw][exposure][place]
  std::vector<base::Estimate> middle_by_band;  ///< [exposure][place][band]: media in the middle of the draws, nominal
                                               ///< output, the tip as planned
  double relative_se_of_draws = 0;             ///< of a draw's light over the schedule, root mean square over the
                                               ///< draws, at the worst place

  [[nodiscard]] const double* of(std::size_t draw, std::size_t exposure) const {
    return &phi_mw_cm2[(draw * exposures + exposure) * places];
  }
  [[nodiscard]] double* of(std::size_t draw, std::size_t exposure) {
    return &phi_mw_cm2[(draw * exposures + exposure) * places];
  }
  /// Of all bands together, with its Monte Carlo error.
  [[nodiscard]] base::Estimate middle_of(std::size_t exposure, std::size_t place) const;
};

/// The tips of one exposure: as planned, and as the hand may hold it, each as likely as the others.
struct HeldTips {
  transport::PosedTip planned;
  std::vector<transport::PosedTip> by_hand;  ///< none: the hand holds it as planned
};

/// Holds the tip of each exposure in the scene of its state. `hand_poses` stand for the hand; 1: the plan alone.
std::vector<HeldTips> hold_tips(const Ground& ground, const std::vector<Exposure>& schedule, std::size_t hand_poses,
                                const base::Running& running);

struct FluenceEffort {
  std::size_t hand_poses = 8;  ///< that stand for the hand in each exposure; draws take them in turn
  std::size_t every = 1;       ///< take every so many of the draws (for drawings and while a tip is dragged)
  std::uint64_t most_paths =
      std::numeric_limits<std::uint64_t>::max();  ///< of each run, the first so many (while a tip is dragged); of a
                                                  ///< band that is worth little, fewer
};

/// Answers a schedule. Every state that it lights must have rays.
Fluence fluence_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                   const FluenceEffort& effort, const base::Running& running);

/// The same with tips that are held already (elsewhere they may stand in a scene with more in the way).
Fluence fluence_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                   const std::vector<HeldTips>& tips, const FluenceEffort& effort, const base::Running& running);

/// Light of one place over a whole schedule, in the middle of the draws' media, nominal output and pose [J/cm2].
/// Exposures of one state share its paths, so their errors add up; those of different states and bands are independent.
base::Estimate light_over(const Ground& ground, const std::vector<Exposure>& schedule, const Fluence& fluence,
                          std::size_t place);

}  // namespace throughcure::plan
