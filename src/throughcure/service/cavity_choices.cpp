#include "throughcure/service/cavity_choices.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <utility>

#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/anatomy/tooth.hpp"
#include "throughcure/exchange/reference_crowns.hpp"

namespace throughcure::service {

namespace {

using anatomy::Cavity;
using anatomy::ToothSide;

constexpr double kIncrement_mm = 2;

/// To a tenth of a millimetre: what a page shows.
double tenth(double mm) { return std::round(10 * mm) / 10; }

/// The kinds at a share of their usual size: depths below the top of the crown, widths, what is left of a wall.
std::vector<Cavity> kinds(double share) {
  const anatomy::OcclusalPart occlusal{
      .floor_below_cusps_mm = tenth(4 * share), .width_mm = tenth(2.5 * share), .length_mm = tenth(4.5 * share)};
  const anatomy::ProximalBox box{
      .floor_below_cusps_mm = tenth(6 * share), .width_mm = tenth(4 * share), .axial_depth_mm = tenth(1.5 * share)};
  const auto front = [share](ToothSide side) {
    return anatomy::FrontPart{.side = side,
                              .roof_below_edge_mm = tenth(3 * share),
                              .floor_below_edge_mm = tenth(6 * share),
                              .axial_depth_mm = tenth(1.5 * share),
                              .labial_wall_mm = tenth(1.5 * share)};
  };
  return {{.occlusal = occlusal, .mesial = {}, .distal = {}, .front = {}},
          {.occlusal = occlusal, .mesial = box, .distal = {}, .front = {}},
          {.occlusal = occlusal, .mesial = {}, .distal = box, .front = {}},
          {.occlusal = occlusal, .mesial = box, .distal = box, .front = {}},
          {.occlusal = {}, .mesial = {}, .distal = {}, .front = front(ToothSide::kMesial)},
          {.occlusal = {}, .mesial = {}, .distal = {}, .front = front(ToothSide::kDistal)}};
}

std::vector<anatomy::Increment> filling(const Cavity& cavity, const anatomy::ToothForm& form) {
  const double high = anatomy::deepest_floor_mm(cavity) - anatomy::cavity_brim_z(cavity, form);
  std::vector<anatomy::Increment> increments;
  const auto below = static_cast<std::size_t>(std::max(0.0, std::ceil(high / kIncrement_mm) - 1));
  increments.assign(below, {.thickness_mm = kIncrement_mm});
  increments.push_back({.layering = anatomy::Layering::kBulk});
  return increments;
}

}  // namespace

std::vector<CavityChoice> cavity_choices(const anatomy::ToothNumber& tooth) {
  const anatomy::CrownDimensions crown = exchange::reference_crown(tooth);
  const anatomy::ToothForm form = anatomy::tooth_form(tooth.tooth_class(), crown);
  std::vector<CavityChoice> choices;
  const std::size_t count = kinds(1).size();
  for (std::size_t kind = 0; kind < count; ++kind) {
    for (int percent = 100; percent >= 50; percent -= 5) {
      const Cavity cavity = kinds(percent / 100.0)[kind];
      anatomy::Site site{
          .tooth = tooth, .crown = crown, .cavity = cavity, .restoration = {}, .gingiva_crest_mm = std::nullopt};
      if (!anatomy::site_problems(site).empty()) continue;
      site.restoration.increments = filling(cavity, form);
      if (!anatomy::site_problems(site).empty()) continue;
      choices.push_back({anatomy::name(cavity), cavity, std::move(site.restoration.increments)});
      break;
    }
  }
  return choices;
}

}  // namespace throughcure::service
