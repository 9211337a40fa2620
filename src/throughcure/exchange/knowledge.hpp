// What the program knows before it sees a case, from the embedded reference.
#pragma once

#include "throughcure/plan/ground.hpp"

namespace throughcure::exchange {

/// Priors and the mould's table of the reference; lights of tests are read from their files.
plan::Knowledge knowledge();

}  // namespace throughcure::exchange
