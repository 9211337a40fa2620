#include "throughcure/anatomy/mould.hpp"

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::Point;

std::vector<Quadric> disc(double radius_mm, double from_z, double to_z) {
  return {half_space(Point{0, 0, from_z}, Direction{0, 0, -1}), half_space(Point{0, 0, to_z}, Direction{0, 0, 1}),
          cylinder(Point{0, 0, 0}, Direction{0, 0, 1}, radius_mm)};
}

}  // namespace

Scene iso4049_mould(const Mould& mould) {
  SceneBuilder builder("air");
  const MediumId resin = builder.medium("resin");
  const MediumId steel = builder.medium("mould");
  builder.add(resin, disc(mould.bore_mm / 2, 0, mould.height_mm));
  builder.add(steel, disc(mould.block_mm / 2, 0, mould.height_mm));
  if (mould.floor != MouldFloor::kOpen) {
    const MediumId floor = builder.medium(mould.floor == MouldFloor::kWhitePaper ? "white paper" : "black floor");
    builder.add(floor, disc(mould.block_mm / 2, mould.height_mm, mould.height_mm + 1));
  }
  return builder.scene();
}

}  // namespace throughcure::anatomy
