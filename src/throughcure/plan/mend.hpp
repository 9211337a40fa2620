// What would make it cure through: changes to a schedule, each solved before it is shown.
#pragma once

#include <string>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/solve.hpp"

namespace throughcure::plan {

/// A changed schedule and what it comes to.
struct Mend {
  std::string label;  ///< "upright, on the cusps", "20 s more from buccal and lingual once the band is off", ...
  std::vector<Exposure> schedule;
  Verdict verdict;
  double extra_seconds = 0;  ///< of light, beyond the schedule's own
};

/// Solves what a dentist would try: hold the light upright and in contact, expose twice as long, add exposures from
/// both sides after the band is off. Pairs only where none of these alone cures through, all three only where no pair
/// does. Those that cure through come first, by the seconds that they cost, then the others by their probability. Never
/// shortens an exposure. Empty where the schedule cures through already.
/// `rays` are those of the solved schedule; they come back with what was walked beyond. A mend is solved to 10 % of the
/// light at each cell, or to `effort.precision` where that is more; its error is in its verdict.
std::vector<Mend> mends(const Ground& ground, const std::vector<Exposure>& schedule, const Verdict& verdict, Rays& rays,
                        const SolveEffort& effort, const base::Running& running);

}  // namespace throughcure::plan
