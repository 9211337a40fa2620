#include "throughcure/anatomy/restoration.hpp"

#include <algorithm>

namespace throughcure::anatomy {

std::vector<ResinLevel> resin_levels(const Site& site) {
  const double above_all = deepest_floor_mm(site.cavity) + 1;
  std::vector<ResinLevel> levels;
  ResinLevel level;
  for (const Increment& increment : site.restoration.increments) {
    switch (increment.layering) {
      case Layering::kHorizontal:
        level.buccal_mm += increment.thickness_mm;
        level.lingual_mm += increment.thickness_mm;
        break;
      case Layering::kObliqueBuccal:
        level.buccal_mm += increment.thickness_mm;
        break;
      case Layering::kObliqueLingual:
        level.lingual_mm += increment.thickness_mm;
        break;
      case Layering::kBulk:
        level = {std::max(level.buccal_mm, above_all), std::max(level.lingual_mm, above_all)};
        break;
    }
    levels.push_back(level);
  }
  return levels;
}

double level_z(const Site& site, const ResinLevel& level, double y_mm) {
  const double share = y_mm / widest_mm(site.cavity);  // -1/2 at the buccal wall, 1/2 at the lingual one
  return deepest_floor_mm(site.cavity) - (level.buccal_mm * (0.5 - share) + level.lingual_mm * (0.5 + share));
}

double cavity_brim_z(const Cavity& cavity, const ToothForm& form) {
  double brim = form.crown_length_mm;
  constexpr int kSteps = 40;
  for (const CavityPiece& piece : pieces(cavity, form)) {
    for (int i = 0; i <= kSteps; ++i) {
      for (int k = 0; k <= kSteps; ++k) {
        const double x = piece.least.x + (piece.most.x - piece.least.x) * i / kSteps;
        const double y = piece.least.y + (piece.most.y - piece.least.y) * k / kSteps;
        const double z = std::max(surface_z(form, x, y), piece.least.z);
        const bool in_crown =
            std::ranges::all_of(form.walls, [&](const Quadric& q) { return value(q, base::Point{x, y, z}) <= 0; });
        if (in_crown) brim = std::min(brim, z);
      }
    }
  }
  return brim;
}

}  // namespace throughcure::anatomy
