#include "throughcure/anatomy/targets.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "throughcure/anatomy/states.hpp"

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::Point;
using base::Vec;

constexpr double kStep = 0.02;       ///< of the search for a place [mm]
constexpr double kUnderTop = 0.2;    ///< the top reference starts below the air-inhibited skin [mm]
constexpr double kFromCorner = 1.0;  ///< a place further than this from where it was wanted is another place [mm]

/// Finds room for balls in the finished restoration, and collects them.
class Search {
 public:
  explicit Search(const Site& site)
      : site_(site),
        form_(tooth_form(site.tooth.tooth_class(), site.crown)),
        scene_(build_scene(site, scene_states(site).back())) {}

  std::vector<Target> all() {
    const std::vector<CavityPiece> parts = pieces(site_.cavity, form_, site_.restoration.adhesive_mm);
    for (const CavityPiece& part : parts) {
      if (site_.cavity.front) {
        add_front_floor(part, *site_.cavity.front);
      } else if (part.box_of) {
        add_gingival_floor(part, *part.box_of);
      } else {
        add_pulpal_floor(part);
      }
    }
    for (std::size_t i = 1; i < site_.restoration.increments.size(); ++i) add_bottom(i, parts);
    if (!parts.empty() && !site_.cavity.front) add_top(parts.front());
    if (site_.cavity.front) add_front_top(parts.front());
    return std::move(targets_);
  }

 private:
  void add_gingival_floor(const CavityPiece& part, ToothSide side) {
    const double s = side == ToothSide::kMesial ? -1 : 1;
    const double floor = part.most.z;
    const double inner = s > 0 ? part.least.x : part.most.x;
    const double outer = s * reach(form_.walls, Point{0, 0, floor}, Direction{s, 0, 0});
    const double middle = (inner + outer) / 2;
    const double half = part.most.y;
    const bool two_boxes = site_.cavity.mesial && site_.cavity.distal;
    const std::string name = (two_boxes ? std::string(word(side)) + " " : "") + "gingival floor, ";
    const Vec up{0, 0, -1};
    put(name + "centre", TargetKind::kFloor, {middle, 0, floor}, up);
    put(name + "buccal half", TargetKind::kFloor, {middle, -half / 2, floor}, up);
    put(name + "lingual half", TargetKind::kFloor, {middle, half / 2, floor}, up);
    put(name + "buccal line angle", TargetKind::kLineAngle, {middle, -half, floor}, {0, 1, -1});
    put(name + "lingual line angle", TargetKind::kLineAngle, {middle, half, floor}, {0, -1, -1});
    put(name + "axial line angle", TargetKind::kLineAngle, {inner, 0, floor}, {s, 0, -1});
    put(name + std::string(word(side)) + " margin", TargetKind::kMargin, {outer, 0, floor}, {-s, 0, -1});
  }

  void add_front_floor(const CavityPiece& part, const FrontPart& front) {
    const double s = front.side == ToothSide::kMesial ? -1 : 1;
    const double floor = part.most.z;
    const double inner = s > 0 ? part.least.x : part.most.x;
    const double middle = inner + s * front.axial_depth_mm / 2;
    const double lingual = lingual_surface_y(front, form_);
    const double y = (part.least.y + lingual) / 2;
    put("gingival floor, centre", TargetKind::kFloor, {middle, y, floor}, {0, 0, -1});
    put("gingival floor, labial line angle", TargetKind::kLineAngle, {middle, part.least.y, floor}, {0, 1, -1});
    put("gingival floor, axial line angle", TargetKind::kLineAngle, {inner, y, floor}, {s, 0, -1});
    put("gingival floor, lingual margin", TargetKind::kMargin, {middle, lingual, floor}, {0, -1, -1});
    put("incisal wall, labial line angle", TargetKind::kLineAngle, {middle, part.least.y, part.least.z}, {0, 1, 1});
  }

  void add_pulpal_floor(const CavityPiece& part) {
    const double middle = (part.least.x + part.most.x) / 2;
    const double floor = part.most.z;
    put("pulpal floor, centre", TargetKind::kFloor, {middle, 0, floor}, {0, 0, -1});
    put("pulpal floor, buccal line angle", TargetKind::kLineAngle, {middle, part.least.y, floor}, {0, 1, -1});
    put("pulpal floor, lingual line angle", TargetKind::kLineAngle, {middle, part.most.y, floor}, {0, -1, -1});
  }

  /// The deepest place of an increment: looked for upwards from the floors, across the width of each piece.
  void add_bottom(std::size_t increment, const std::vector<CavityPiece>& parts) {
    std::optional<Target> best;
    for (const CavityPiece& part : parts) {
      const double x = middle_x(part);
      for (const double share : {0.0, -0.5, 0.5, -0.8, 0.8}) {
        const Point from{x, share * part.most.y, part.most.z};
        const auto found = room(from, {0, 0, -1}, part.most.z, increment);
        if (found && (!best || found->centre.z > best->centre.z + kStep)) {
          best = {increment_name(increment) + ", bottom", TargetKind::kIncrementBottom, increment, found->centre,
                  found->radius_mm};
        }
      }
    }
    if (best) targets_.push_back(*best);
  }

  void add_top(const CavityPiece& part) {
    const Point surface{middle_x(part), 0, surface_z(form_, middle_x(part), 0) + kUnderTop};
    put("top, under the surface", TargetKind::kTop, surface, {0, 0, 1});
  }

  /// Under the open lingual surface, half-way up.
  void add_front_top(const CavityPiece& part) {
    const double x = middle_x(part);
    const double z = (part.least.z + part.most.z) / 2;
    std::vector<Quadric> crown = form_.walls;
    crown.push_back(form_.top);
    const double surface = reach(crown, Point{x, 0, z}, Direction{0, 1, 0});
    put("top, under the surface", TargetKind::kTop, {x, surface - kUnderTop, z}, {0, -1, 0});
  }

  /// The middle of a piece along x, at its floor where it is a box.
  [[nodiscard]] double middle_x(const CavityPiece& part) const {
    if (const auto& front = site_.cavity.front) {
      return axial_wall_x(front->side, front->floor_below_edge_mm, front->axial_depth_mm / 2, form_);
    }
    if (!part.box_of) return (part.least.x + part.most.x) / 2;
    const double s = *part.box_of == ToothSide::kMesial ? -1 : 1;
    const double outer = s * reach(form_.walls, Point{0, 0, part.most.z}, Direction{s, 0, 0});
    return ((s > 0 ? part.least.x : part.most.x) + outer) / 2;
  }

  /// Puts a ball as near to `corner` as there is room, going `away` from it.
  void put(std::string name, TargetKind kind, const Point& corner, const Vec& away) {
    const auto found = room(corner, away, kFromCorner, std::nullopt);
    if (!found) return;
    targets_.push_back({std::move(name), kind, found->increment, found->centre, found->radius_mm});
  }

  /// A ball and the increment that it lies in.
  struct Ball {
    Point centre;
    double radius_mm = 0;
    std::size_t increment = 0;
  };

  /// The first place on the way where a ball fits into an increment (that one, if named).
  [[nodiscard]] std::optional<Ball> room(const Point& from, const Vec& away, double at_most,
                                         std::optional<std::size_t> increment) const {
    const Direction d = base::unit(away);
    for (const double radius : {0.12, 0.06}) {
      for (int step = 0; step * kStep <= at_most; ++step) {
        const Point centre = from + d * (step * kStep);
        const auto here = increment_at(centre);
        if (!here || (increment && *here != *increment)) continue;
        if (lies_in_one_medium(scene_, centre, radius)) return Ball{centre, radius, *here};
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] std::optional<std::size_t> increment_at(const Point& p) const {
    return increment_of(site_, scene_.medium_at(p));
  }

  const Site& site_;
  ToothForm form_;
  Scene scene_;
  std::vector<Target> targets_;
};

}  // namespace

std::vector<Target> targets(const Site& site) {
  if (site.restoration.increments.empty()) return {};
  return Search(site).all();
}

bool lies_in_one_medium(const Scene& scene, const Point& centre, double radius_mm) {
  constexpr int kDirections = 128;
  const MediumId medium = scene.medium_at(centre);
  for (int i = 0; i < kDirections; ++i) {
    // Even over the sphere: equal steps of z, turned by the golden angle.
    const double z = 1 - (2.0 * i + 1) / kDirections;
    const double turn = i * std::numbers::pi * (3 - std::sqrt(5.0));
    const double r = std::sqrt(1 - z * z);
    if (scene.medium_at(centre + Vec{r * std::cos(turn), r * std::sin(turn), z} * radius_mm) != medium) return false;
  }
  // The poles, where flat floors would touch first.
  return scene.medium_at(centre + Vec{0, 0, radius_mm}) == medium &&
         scene.medium_at(centre - Vec{0, 0, radius_mm}) == medium;
}

}  // namespace throughcure::anatomy
