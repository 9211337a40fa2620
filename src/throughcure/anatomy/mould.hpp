// The mould of the depth-of-cure test: a steel block with a bore, filled with resin, open at the top.
#pragma once

#include <cstdint>

#include "throughcure/anatomy/scene.hpp"

namespace throughcure::anatomy {

/// What the mould stands on; which optics it has is up to the media.
enum class MouldFloor : std::uint8_t { kWhitePaper, kBlack, kOpen };

struct Mould {
  double height_mm = 10;  ///< of the bore, filled to the brim
  double bore_mm = 4;     ///< diameter (ISO 4049, depth of cure: 4 mm; standard)
  double block_mm = 20;   ///< diameter of the steel
  MouldFloor floor = MouldFloor::kWhitePaper;
};

/// The scene of that test: the open face of the resin is z = 0, z grows into it, the bore's axis is x = y = 0. Media in
/// this order: air (the background), resin, mould, and "white paper" or "black floor" where there is one. Lengths must
/// be above 0, and the block wider than the bore.
Scene iso4049_mould(const Mould& mould);

}  // namespace throughcure::anatomy
