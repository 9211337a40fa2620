// One rising share done, out of work that tells of several steps, each from nothing to all.
#pragma once

#include <string>

#include "throughcure/base/parallel.hpp"

namespace throughcure::service {

/// Hands on what the work counts, never a clock. A part of the work has a fixed piece of the whole; how many steps are
/// in it is known only roughly, so that each step takes its share of what is left of that piece.
class RisingProgress {
 public:
  /// `whole` must outlive what is given out.
  explicit RisingProgress(const base::Running& whole);

  /// How the next part is run: told as `words`, or where they are empty in the words of its own steps, up to `until`
  /// [0..1] of the whole, in about `steps` steps (1 or more). The part before counts as done.
  base::Running part(std::string words, double until, unsigned steps);

 private:
  const base::Running& whole_;
  double from_ = 0;
};

}  // namespace throughcure::service
