#include "throughcure/anatomy/section_lattice.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

#include "throughcure/anatomy/states.hpp"
#include "throughcure/anatomy/targets.hpp"

namespace throughcure::anatomy {

namespace {

constexpr double kPixel_mm = 0.04;
constexpr double kRadius_mm = 0.12;
constexpr double kSmall_mm = 0.06;

/// The middle of a pixel where a ball may lie, and how far it is from the nearest ball.
struct Spot {
  double right_mm = 0;
  double down_mm = 0;
  double gap_mm = std::numeric_limits<double>::infinity();
};

class Spread {
 public:
  Spread(const Scene& scene, const Section& section, std::size_t increment, MediumId medium, double spacing_mm)
      : scene_(scene), section_(section), increment_(increment), medium_(medium), spacing_(spacing_mm) {}

  std::vector<LatticePlace> places() {
    for (const double radius : {kRadius_mm, kSmall_mm}) fill(radius);
    return std::move(places_);
  }

 private:
  void fill(double radius) {
    std::vector<Spot> spots = spots_for(radius);
    for (const LatticePlace& place : places_) narrow(spots, on_plane(place.centre));
    while (!spots.empty()) {
      // Of equals the last: the lowest on the page.
      const auto furthest = std::max_element(
          spots.rbegin(), spots.rend(), [](const Spot& one, const Spot& other) { return one.gap_mm < other.gap_mm; });
      if (furthest->gap_mm <= spacing_) return;
      const Spot taken = *furthest;
      const base::Point centre = section_.plane.at(taken.right_mm, taken.down_mm);
      spots.erase(std::next(furthest).base());
      if (!lies_in_one_medium(scene_, centre, radius)) continue;  // a wall crosses the ball beside the plane
      places_.push_back({centre, radius, increment_});
      narrow(spots, taken);
    }
  }

  /// Middles of the pixels of the medium with no other medium within the radius in the plane.
  [[nodiscard]] std::vector<Spot> spots_for(double radius) const {
    std::vector<Spot> spots;
    const int reach = static_cast<int>(std::floor(radius / kPixel_mm));
    const int rows = static_cast<int>(section_.rows);
    const int columns = static_cast<int>(section_.columns);
    for (int row = reach; row < rows - reach; ++row) {
      for (int column = reach; column < columns - reach; ++column) {
        if (has_room(row, column, reach)) spots.push_back({(column + 0.5) * kPixel_mm, (row + 0.5) * kPixel_mm});
      }
    }
    return spots;
  }

  [[nodiscard]] bool has_room(int row, int column, int reach) const {
    if (!held(row, column)) return false;
    for (int j = -reach; j <= reach; ++j) {
      for (int i = -reach; i <= reach; ++i) {
        if (i * i + j * j <= reach * reach && !held(row + j, column + i)) return false;
      }
    }
    return true;
  }
  [[nodiscard]] bool held(int row, int column) const {
    return section_.media[static_cast<std::size_t>(row) * section_.columns + static_cast<std::size_t>(column)] ==
           medium_;
  }

  [[nodiscard]] Spot on_plane(const base::Point& p) const {
    const base::Vec off = p - section_.plane.corner;
    return {dot(off, section_.plane.right), dot(off, section_.plane.down)};
  }

  static void narrow(std::vector<Spot>& spots, const Spot& taken) {
    for (Spot& spot : spots) {
      spot.gap_mm = std::min(spot.gap_mm, std::hypot(spot.right_mm - taken.right_mm, spot.down_mm - taken.down_mm));
    }
  }

  const Scene& scene_;
  const Section& section_;
  std::size_t increment_;
  MediumId medium_;
  double spacing_;
  std::vector<LatticePlace> places_;
};

}  // namespace

std::vector<LatticePlace> section_lattice(const Site& site, const SectionPlane& plane, double spacing_mm) {
  const Scene scene = build_scene(site, scene_states(site).back());
  const Section section = cut(scene, plane, kPixel_mm);
  std::vector<LatticePlace> places;
  for (std::size_t m = 0; m < scene.medium_names.size(); ++m) {
    const auto medium = static_cast<MediumId>(m);
    const std::optional<std::size_t> increment = increment_of(site, medium);
    if (!increment) continue;
    const std::vector<LatticePlace> more = Spread(scene, section, *increment, medium, spacing_mm).places();
    places.insert(places.end(), more.begin(), more.end());
  }
  return places;
}

}  // namespace throughcure::anatomy
