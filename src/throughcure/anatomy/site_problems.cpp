#include "throughcure/anatomy/site_problems.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "throughcure/anatomy/states.hpp"
#include "throughcure/base/number_text.hpp"

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::number_text;
using base::Point;

constexpr double kWallLeft = 0.5;  ///< of hard tissue buccally and lingually of a cavity, at least [mm]
constexpr double kOverPulp = 0.3;  ///< of dentine over the pulp, at least [mm]: less is an exposure to be treated
constexpr double kMostIncrements = 20;

/// A length in words, to a hundredth of a millimetre.
std::string mm(double length) { return number_text(std::round(100 * length) / 100) + " mm"; }

/// Collects the problems of one site.
class Inspection {
 public:
  explicit Inspection(const Site& site) : site_(site) {}

  std::vector<SiteProblem> inspect() {
    check_sizes();
    check_class();
    if (!problems_.empty()) return std::move(problems_);  // what follows needs a form and lengths to measure
    form_ = tooth_form(site_.tooth.tooth_class(), site_.crown);
    check_occlusal();
    check_box(ToothSide::kMesial);
    check_box(ToothSide::kDistal);
    check_boxes_together();
    check_front();
    check_matrix();
    if (!problems_.empty()) return std::move(problems_);
    check_pulp();
    check_increments();
    return std::move(problems_);
  }

 private:
  void say(std::string field, std::string what, std::string remedy) {
    problems_.push_back({std::move(field), std::move(what), std::move(remedy)});
  }

  /// A length in (or at) its limits; NaN is in none.
  void length(const std::string& field, double value, double above, double at_most) {
    if (value > above && value <= at_most) return;
    const std::string wrong = std::isnan(value) ? "it is not a number" : mm(value) + " is no size for it";
    say(field, wrong, "Give a length above " + mm(above) + " and up to " + mm(at_most));
  }

  void check_sizes() {
    check_crown();
    if (const auto& part = site_.cavity.occlusal) {
      length("cavity.occlusal.floor_below_cusps_mm", part->floor_below_cusps_mm, 0, 15);
      length("cavity.occlusal.width_mm", part->width_mm, 0, 15);
      length("cavity.occlusal.length_mm", part->length_mm, 0, 15);
    }
    for (const ToothSide side : {ToothSide::kMesial, ToothSide::kDistal}) {
      const auto& box = site_.cavity.box(side);
      if (!box) continue;
      length(field(side, "floor_below_cusps_mm"), box->floor_below_cusps_mm, 0, 15);
      length(field(side, "width_mm"), box->width_mm, 0, 15);
      length(field(side, "axial_depth_mm"), box->axial_depth_mm, 0, 15);
    }
    if (const auto& part = site_.cavity.front) {
      length("cavity.front.roof_below_edge_mm", part->roof_below_edge_mm, 0, 15);
      length("cavity.front.floor_below_edge_mm", part->floor_below_edge_mm, 0, 15);
      length("cavity.front.axial_depth_mm", part->axial_depth_mm, 0, 15);
      length("cavity.front.labial_wall_mm", part->labial_wall_mm, 0, 15);
    }
    const Restoration& r = site_.restoration;
    const bool thin = r.adhesive_mm >= 0 && r.adhesive_mm <= 0.3;  // false for NaN too
    if (!thin) {
      say("restoration.adhesive_mm", number_text(r.adhesive_mm) + " is no thickness for it",
          "Give 0 to 0.3 mm; 0 for none");
    }
    for (std::size_t i = 0; i < r.increments.size(); ++i) {
      if (r.increments[i].layering == Layering::kBulk) continue;
      length("restoration.increments[" + std::to_string(i + 1) + "].thickness_mm", r.increments[i].thickness_mm, 0, 15);
    }
    if (static_cast<double>(r.increments.size()) > kMostIncrements) {
      say("restoration.increments", std::to_string(r.increments.size()) + " increments are more than 20",
          "Give thicker increments");
    }
    if (r.matrix) {
      length("restoration.matrix.thickness_mm", r.matrix->thickness_mm, 0, 0.3);
      length("restoration.matrix.beyond_floor_mm", r.matrix->beyond_floor_mm, 0, 5);
      length("restoration.matrix.upper_edge_mm", r.matrix->upper_edge_mm, -5, 15);
    }
    if (site_.gingiva_crest_mm) length("gingiva_crest_mm", *site_.gingiva_crest_mm, 0, 20);
  }

  void check_crown() {
    const CrownDimensions& s = site_.crown;
    const std::pair<const char*, const base::Sourced*> must[] = {{"crown_length", &s.crown_length},
                                                                 {"mesiodistal", &s.mesiodistal},
                                                                 {"mesiodistal_cervix", &s.mesiodistal_cervix},
                                                                 {"buccolingual", &s.buccolingual},
                                                                 {"buccolingual_cervix", &s.buccolingual_cervix},
                                                                 {"enamel_at_cusp", &s.enamel_at_cusp},
                                                                 {"enamel_at_side", &s.enamel_at_side},
                                                                 {"pulp_roof", &s.pulp_roof},
                                                                 {"pulp_height", &s.pulp_height},
                                                                 {"pulp_mesiodistal", &s.pulp_mesiodistal},
                                                                 {"pulp_buccolingual", &s.pulp_buccolingual}};
    for (const auto& [name, size] : must) length(std::string("crown.") + name, size->value, 0, 30);
    const auto narrower = [&](const char* name, double inner, double outer, const char* of) {
      if (!(inner < outer)) {
        say(std::string("crown.") + name, mm(inner) + " is not less than " + mm(outer) + ", " + of,
            "Give a crown that narrows towards the root and leaves room for dentine and pulp");
      }
    };
    narrower("mesiodistal_cervix", s.mesiodistal_cervix.value, s.mesiodistal.value, "its greatest width");
    narrower("buccolingual_cervix", s.buccolingual_cervix.value, s.buccolingual.value, "its greatest width");
    narrower("pulp_mesiodistal", s.pulp_mesiodistal.value, s.mesiodistal.value - 2 * s.enamel_at_side.value,
             "the width of the dentine");
    narrower("pulp_buccolingual", s.pulp_buccolingual.value, s.buccolingual.value - 2 * s.enamel_at_side.value,
             "the width of the dentine");
    narrower("cusp_height", s.cusp_height.value, s.crown_length.value / 2, "half of the crown's length");
    const bool none_below_0 = s.cusp_height.value >= 0 && s.enamel_in_fossa.value >= 0 && s.pulp_horn.value >= 0;
    if (!none_below_0) {
      say("crown", "a negative cusp height, enamel in the fossa or pulp horn", "Give 0 where there is none");
    }
  }

  void check_class() {
    const Cavity& cavity = site_.cavity;
    const ToothClass c = site_.tooth.tooth_class();
    const bool back_tooth = c == ToothClass::kPremolar || c == ToothClass::kMolar;
    const bool back_cavity = cavity.occlusal || cavity.mesial || cavity.distal;
    if (!back_tooth && back_cavity) {
      say("cavity", name(cavity) + " is for premolars and molars, and this is a " + site_.tooth.name(),
          "Choose another tooth, or a Class III");
    }
    if (back_tooth && cavity.front) {
      say("cavity.front", "a Class III is for incisors and canines, and this is a " + site_.tooth.name(),
          "Choose another tooth, or an occlusal part and boxes");
    }
    if (name(cavity).empty() && !site_.restoration.increments.empty()) {
      say("cavity", "increments are given, but nothing is cut", "Give an occlusal part, a box, or no increments");
    }
  }

  void check_occlusal() {
    const auto& part = site_.cavity.occlusal;
    if (!part) return;
    const double fossa = surface_z(form_, 0, 0);
    check_floor("cavity.occlusal.floor_below_cusps_mm", part->floor_below_cusps_mm, fossa, "the central fossa");
    const double depth = reach(form_.walls, Point{0, 0, fossa}, Direction{0, 1, 0});
    check_width("cavity.occlusal.width_mm", part->width_mm, depth);
    const double most = 2 * (form_.half_width_mm - 1.5);
    if (part->length_mm > most) {
      say("cavity.occlusal.length_mm", mm(part->length_mm) + " leaves no marginal ridge",
          "Give up to " + mm(most) + ", or cut a box");
    }
    for (const ToothSide side : {ToothSide::kMesial, ToothSide::kDistal}) {
      const auto& box = site_.cavity.box(side);
      if (!box) continue;
      if (part->width_mm > box->width_mm) {
        say("cavity.occlusal.width_mm",
            "the isthmus, " + mm(part->width_mm) + ", is wider than the box, " + mm(box->width_mm),
            "Give an isthmus no wider than the box");
      }
      if (part->floor_below_cusps_mm > box->floor_below_cusps_mm) {
        say("cavity.occlusal.floor_below_cusps_mm",
            "the pulpal floor, " + mm(part->floor_below_cusps_mm) + ", lies below the gingival floor, " +
                mm(box->floor_below_cusps_mm),
            "Give a pulpal floor above it");
      }
    }
  }

  void check_box(ToothSide side) {
    const auto& box = site_.cavity.box(side);
    if (!box) return;
    const double s = dot(outward(side), Direction{1, 0, 0});
    const double ridge = surface_z(form_, s * 0.88 * form_.half_width_mm, 0);
    check_floor(field(side, "floor_below_cusps_mm"), box->floor_below_cusps_mm, ridge, "the marginal ridge");
    if (box->floor_below_cusps_mm >= form_.crown_length_mm) return;
    const double x = axial_wall_x(*box, side, form_);
    if (s * x < 0.5) {
      say(field(side, "axial_depth_mm"), mm(box->axial_depth_mm) + " reaches the middle of the tooth",
          "Give up to " + mm(box->axial_depth_mm + s * x - 0.5));
      return;
    }
    // Hard tissue must be left beside the box at its narrowest: outside on the floor, or at the marginal ridge.
    const double outer = s * (std::abs(x) + box->axial_depth_mm / 2);
    const double at_floor = reach(form_.walls, Point{outer, 0, box->floor_below_cusps_mm}, Direction{0, 1, 0});
    const double at_ridge = reach(form_.walls, Point{outer, 0, ridge}, Direction{0, 1, 0});
    check_width(field(side, "width_mm"), box->width_mm, std::min(at_floor, at_ridge));
  }

  void check_floor(const std::string& field_name, double floor, double surface, const std::string& surface_name) {
    if (floor <= surface + 0.5) {
      say(field_name, mm(floor) + " below the cusps is not 0.5 mm below " + surface_name + ", at " + mm(surface),
          "Count depths from the cusp tips; give more than " + mm(surface + 0.5));
    }
    if (floor >= form_.crown_length_mm) {
      say(field_name,
          mm(floor) + " below the cusps is larger than the tooth: its crown ends at " + mm(form_.crown_length_mm),
          "Give less than the crown's length");
    }
  }

  void check_width(const std::string& field_name, double width, double half_tooth) {
    const double most = 2 * (half_tooth - kWallLeft);
    if (width <= most) return;
    say(field_name, mm(width) + " is larger than the tooth there: it leaves less than 0.5 mm at the sides",
        "Give up to " + mm(most));
  }

  void check_front() {
    const auto& part = site_.cavity.front;
    if (!part) return;
    check_floor("cavity.front.floor_below_edge_mm", part->floor_below_edge_mm, part->roof_below_edge_mm, "its roof");
    if (part->roof_below_edge_mm < 1) {
      say("cavity.front.roof_below_edge_mm", mm(part->roof_below_edge_mm) + " leaves no edge", "Give 1 mm or more");
    }
    for (const Increment& increment : site_.restoration.increments) {
      if (increment.layering != Layering::kObliqueBuccal && increment.layering != Layering::kObliqueLingual) continue;
      say("restoration.increments", "a Class III takes no oblique increments here",
          "Give horizontal ones, or one bulk");
      break;
    }
    if (!problems_.empty()) return;
    const double s = part->side == ToothSide::kMesial ? -1 : 1;
    const double x = axial_wall_x(part->side, part->floor_below_edge_mm, part->axial_depth_mm, form_);
    if (s * x < 0.5) {
      say("cavity.front.axial_depth_mm", mm(part->axial_depth_mm) + " reaches the middle of the tooth",
          "Give up to " + mm(part->axial_depth_mm + s * x - 0.5));
      return;
    }
    const double open = lingual_surface_y(*part, form_) - labial_wall_y(*part, form_);
    if (open < 0.5) {
      say("cavity.front.labial_wall_mm", mm(part->labial_wall_mm) + " leaves no cavity", "Give a thinner wall");
    }
  }

  void check_boxes_together() {
    const Cavity& cavity = site_.cavity;
    if (!cavity.mesial || !cavity.distal || !problems_.empty()) return;
    if (cavity.occlusal) return;
    say("cavity.occlusal", "two boxes without an occlusal part are two restorations",
        "Give the occlusal part that joins them, or one box");
  }

  void check_matrix() {
    const Restoration& r = site_.restoration;
    const Cavity& cavity = site_.cavity;
    if (r.matrix && r.matrix->upper_edge_mm >= deepest_floor_mm(cavity)) {
      say("restoration.matrix.upper_edge_mm", "the band ends below the floor of the cavity",
          "Give an upper edge near the cusps, 0 mm");
    }
    if (!r.wedge) return;
    const bool room = (cavity.mesial && site_.mesial_neighbour) || (cavity.distal && site_.distal_neighbour);
    if (!r.matrix || !room) {
      say("restoration.wedge", "a wedge needs a band, a box and a neighbour on the side of that box",
          "Give them, or no wedge");
    }
  }

  /// Looks from the surface of the pulp for pieces of the cavity that come too near.
  void check_pulp() {
    for (const CavityPiece& piece : pieces(site_.cavity, form_, -kOverPulp)) {
      const bool meets =
          std::ranges::any_of(form_.pulp, [&](const auto& part) { return meets_pulp(piece, part.front()); });
      if (!meets) continue;
      const std::string where = piece.box_of         ? "cavity." + std::string(word(*piece.box_of))
                                : site_.cavity.front ? "cavity.front"
                                                     : "cavity.occlusal";
      say(where, "it comes within " + mm(kOverPulp) + " of the pulp",
          "Give a shallower floor or axial wall; a pulp that lies bare is another treatment");
    }
  }

  static bool meets_pulp(const CavityPiece& piece, const Quadric& ellipsoid) {
    const Point centre = ellipsoid_centre(ellipsoid);
    constexpr int kRings = 24;
    for (int i = 0; i <= kRings; ++i) {
      for (int k = 0; k < 2 * kRings; ++k) {
        const double polar = std::numbers::pi * i / kRings;
        const double turn = std::numbers::pi * k / kRings;
        const Direction d{std::sin(polar) * std::cos(turn), std::sin(polar) * std::sin(turn), std::cos(polar)};
        // f grows by t^2 d'Ad from the centre, where it is negative.
        const double t = std::sqrt(-value(ellipsoid, centre) / dot(times(ellipsoid.A, d.x, d.y, d.z), d));
        const Point p = centre + d * t;
        if (std::ranges::all_of(piece.faces, [&](const Quadric& face) { return value(face, p) <= 0; })) return true;
      }
    }
    return false;
  }

  /// Of an ellipsoid along the axes, as those of the pulp are.
  static Point ellipsoid_centre(const Quadric& q) {
    return {-q.b.x / (2 * q.A[0]), -q.b.y / (2 * q.A[1]), -q.b.z / (2 * q.A[2])};
  }

  void check_increments() {
    const auto& increments = site_.restoration.increments;
    if (increments.empty()) return;
    const double brim = cavity_brim_z(site_.cavity, form_);
    const double half = widest_mm(site_.cavity) / 2;
    const std::vector<ResinLevel> levels = resin_levels(site_);
    const auto highest_gap = [&](const ResinLevel& level) {  // down from the brim to the lower end of a surface
      return std::max(level_z(site_, level, -half), level_z(site_, level, half)) - brim;
    };
    for (std::size_t i = 1; i < levels.size(); ++i) {
      if (highest_gap(levels[i - 1]) > 0) continue;
      say("restoration.increments[" + std::to_string(i + 1) + "]",
          "it begins above the crown's surface: the increments before it fill the cavity",
          "Leave it out, or give thinner increments");
    }
    const double gap = highest_gap(levels.back());
    if (gap > 1e-9) {
      say("restoration.increments", "they end " + mm(gap) + " below the crown's surface",
          "Give thicker increments or one more");
    }
  }

  static std::string field(ToothSide side, const char* name) {
    return "cavity." + std::string(word(side)) + "." + name;
  }

  const Site& site_;
  ToothForm form_;
  std::vector<SiteProblem> problems_;
};

}  // namespace

std::vector<SiteProblem> site_problems(const Site& site) { return Inspection(site).inspect(); }

}  // namespace throughcure::anatomy
