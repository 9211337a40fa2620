#include "throughcure/anatomy/cutting_plane.hpp"

#include "throughcure/anatomy/tooth.hpp"

namespace throughcure::anatomy {

namespace {

constexpr double kBeside_mm = 2.6;
constexpr double kBelowCervix_mm = 2.2;

}  // namespace

SectionPlane section_plane(const Site& site, const CuttingPlane& cut) {
  const ToothForm form = tooth_form(site.tooth.tooth_class(), site.crown);
  const bool mesiodistal = cut.direction == CutDirection::kMesiodistal;
  const double half = (mesiodistal ? form.half_width_mm : form.half_depth_mm) + kBeside_mm;
  const double height = kHeadroom_mm + form.crown_length_mm + kBelowCervix_mm;
  if (mesiodistal) return {{-half, cut.at_mm, -kHeadroom_mm}, {1, 0, 0}, {0, 0, 1}, 2 * half, height};
  return {{cut.at_mm, -half, -kHeadroom_mm}, {0, 1, 0}, {0, 0, 1}, 2 * half, height};
}

double off_plane_mm(const CuttingPlane& cut, const base::Point& p) {
  return (cut.direction == CutDirection::kMesiodistal ? p.y : p.x) - cut.at_mm;
}

}  // namespace throughcure::anatomy
