// What `solve` prints: the answer in words first, then numbers.
#pragma once

#include <string>
#include <vector>

#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/mend.hpp"
#include "throughcure/plan/solve.hpp"
#include "throughcure/plan/why.hpp"

namespace throughcure::apps {

/// A case with everything that was worked out for it.
struct Solved {
  plan::Ground ground;
  std::vector<plan::Exposure> schedule;
  plan::Solution solution;
  plan::Why why;
  std::vector<plan::Mend> mends;
};

std::string solve_text(const Solved& solved);

}  // namespace throughcure::apps
