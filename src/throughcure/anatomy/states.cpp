#include "throughcure/anatomy/states.hpp"

#include <algorithm>
#include <limits>

namespace throughcure::anatomy {

namespace {

using base::Direction;
using base::Point;

constexpr double kFree = std::numeric_limits<double>::infinity();
constexpr double kCrestAboveCervix = 0.3;  ///< gingival crest between teeth whose papilla gave way to a wedge [mm]
constexpr double kRidge = 2.5;             ///< the gingiva's ridge reaches this far beyond the tooth at its foot [mm]
constexpr double kRidgeHeight = 6;         ///< and falls off over this height [mm]
constexpr double kDamThickness = 0.2;      ///< (common practice: medium sheet)

std::vector<Quadric> joined(std::vector<Quadric> faces, const std::vector<Quadric>& more) {
  faces.insert(faces.end(), more.begin(), more.end());
  return faces;
}

/// Adds the solids of a site rank by rank; every step relies on what was added before it taking its points first.
class Assembly {
 public:
  Assembly(const Site& site, const SceneState& state)
      : site_(site),
        state_(state),
        form_(tooth_form(site.tooth.tooth_class(), site.crown)),
        builder_("air"),
        enamel_(builder_.medium("enamel")),
        dentine_(builder_.medium("dentine")),
        pulp_(builder_.medium("pulp")),
        gingiva_(builder_.medium("gingiva")),
        adhesive_(builder_.medium("adhesive")) {
    for (std::size_t i = 0; i < site.restoration.increments.size(); ++i) {
      increments_.push_back(builder_.medium(increment_name(i)));
    }
    matrix_ = builder_.medium("matrix");
    wedge_ = builder_.medium("wedge");
    dam_ = builder_.medium("dam");
    neighbour_enamel_ = builder_.medium("neighbour enamel");
    neighbour_dentine_ = builder_.medium("neighbour dentine");
  }

  Scene build() {
    add_hollows();
    add_resin();
    add_tooth();
    if (state_.matrix && site_.restoration.matrix) add_matrix(*site_.restoration.matrix);
    for (const ToothSide side : {ToothSide::kMesial, ToothSide::kDistal}) {
      if (site_.neighbour(side)) add_neighbour(side);
    }
    if (state_.matrix && site_.restoration.wedge) add_wedges();
    add_gingiva();
    return builder_.scene();
  }

 private:
  /// Fossa and grooves: the restored surface keeps them, so they come before the resin. A band stands outside them.
  void add_hollows() {
    for (const Quadric& hollow : form_.hollows) {
      builder_.add(kAir, state_.matrix ? joined({hollow}, form_.walls) : std::vector<Quadric>{hollow});
    }
  }

  /// Increments from below, each all of the cavity under its surface that is not taken yet; then the cavity's air; then
  /// the adhesive as the rest of the cavity, a shell.
  void add_resin() {
    const std::vector<CavityPiece> inside = pieces(site_.cavity, form_, site_.restoration.adhesive_mm);
    const std::vector<ResinLevel> levels = resin_levels(site_);
    const double brim = cavity_brim_z(site_.cavity, form_);
    std::vector<bool> full(inside.size(), false);
    for (std::size_t i = 0; i < state_.increments; ++i) {
      for (std::size_t k = 0; k < inside.size(); ++k) {
        if (full[k]) continue;
        const double z_buccal = level_z(site_, levels[i], inside[k].least.y);
        const double z_lingual = level_z(site_, levels[i], inside[k].most.y);
        if (std::min(z_buccal, z_lingual) >= inside[k].most.z) continue;  // not up to this piece's floor yet
        full[k] = std::max(z_buccal, z_lingual) <= brim;
        if (full[k]) {
          builder_.add(increments_[i], inside[k].faces);
        } else {
          builder_.add(increments_[i], below_level(inside[k], z_buccal, z_lingual));
        }
      }
    }
    for (std::size_t k = 0; k < inside.size(); ++k) {
      if (!full[k]) builder_.add(kAir, inside[k].faces);
    }
    if (site_.restoration.adhesive_mm <= 0) return;
    for (const CavityPiece& piece : pieces(site_.cavity, form_)) builder_.add(adhesive_, piece.faces);
  }

  /// A piece under a surface that rises from one wall to the other.
  static std::vector<Quadric> below_level(const CavityPiece& piece, double z_buccal, double z_lingual) {
    const double slope = (z_lingual - z_buccal) / (piece.most.y - piece.least.y);
    const Quadric surface = half_space(Point{0, piece.least.y, z_buccal}, base::unit(base::Vec{0, slope, -1}));
    const double highest = std::min(z_buccal, z_lingual);
    const std::vector<Quadric> kept =
        without_idle(piece.faces, Point{piece.least.x, piece.least.y, std::max(0.0, highest)}, piece.most);
    return joined({surface}, with_flat_walls(piece, kept));
  }

  /// The flat walls touch the corners of their own piece, so rounding could call them idle: they always stay.
  static std::vector<Quadric> with_flat_walls(const CavityPiece& piece, const std::vector<Quadric>& kept) {
    std::vector<Quadric> faces;
    for (const Quadric& q : piece.faces) {
      if (q.is_plane()) faces.push_back(q);
    }
    for (const Quadric& q : kept) {
      if (!q.is_plane()) faces.push_back(q);
    }
    return faces;
  }

  void add_tooth() {
    std::vector<Quadric> crown = joined({form_.top}, form_.walls);
    for (const Quadric& bowl : form_.under_fossa) builder_.add(enamel_, joined({bowl}, crown));
    for (const std::vector<Quadric>& part : form_.pulp) builder_.add(pulp_, part);
    builder_.add(dentine_, form_.dentine);
    crown.push_back(form_.cervix);
    builder_.add(enamel_, crown);
  }

  /// A shell between the crown's sides and the same grown by the band's thickness; what is inside it is air.
  void add_matrix(const Matrix& matrix) {
    const Quadric lower =
        half_space(Point{0, 0, deepest_floor_mm(site_.cavity) + matrix.beyond_floor_mm}, Direction{0, 0, 1});
    const Quadric upper = half_space(Point{0, 0, matrix.upper_edge_mm}, Direction{0, 0, -1});
    builder_.add(kAir, joined({lower}, form_.walls));
    builder_.add(matrix_,
                 joined({lower, upper}, grown_walls(site_.tooth.tooth_class(), site_.crown, matrix.thickness_mm)));
  }

  /// A sound tooth that touches at the contact, or leaves room for the band there: the wedge sees to that.
  void add_neighbour(ToothSide side) {
    const double gap = state_.matrix && site_.restoration.matrix ? site_.restoration.matrix->thickness_mm : 0;
    const double centre = (side == ToothSide::kMesial ? -1 : 1) * (2 * form_.half_width_mm + gap);
    const ToothForm next = tooth_form(site_.tooth.tooth_class(), site_.crown, centre);
    for (const Quadric& hollow : next.hollows) builder_.add(kAir, {hollow});
    builder_.add(neighbour_dentine_, next.plain_dentine);
    builder_.add(neighbour_enamel_, joined({next.top, next.cervix}, next.walls));
  }

  /// A rod across the space under the contact; the teeth and the band shape its sides.
  void add_wedges() {
    for (const ToothSide side : {ToothSide::kMesial, ToothSide::kDistal}) {
      const auto& box = site_.cavity.box(side);
      if (!box || !site_.neighbour(side)) continue;
      const double x = (side == ToothSide::kMesial ? -1 : 1) * form_.half_width_mm;
      const double z = box->floor_below_cusps_mm + 0.4;
      const double half = form_.half_depth_mm + 1;
      builder_.add(
          wedge_,
          {ellipsoid(Point{x, 0, z}, {Direction{1, 0, 0}, Direction{0, 1, 0}, Direction{0, 0, 1}}, {1.2, kFree, 1.4}),
           half_space(Point{0, -half, 0}, Direction{0, -1, 0}), half_space(Point{0, half, 0}, Direction{0, 1, 0})});
    }
  }

  /// A ridge along the arch, highest between the teeth, so that its margin is scalloped as it should be.
  void add_gingiva() {
    const double crest = site_.gingiva_crest_mm.value_or(form_.crown_length_mm - kCrestAboveCervix);
    const auto ridge = [&](double grown) {
      return std::vector<Quadric>{
          ellipsoid(Point{0, 0, crest + kRidgeHeight}, {Direction{1, 0, 0}, Direction{0, 1, 0}, Direction{0, 0, 1}},
                    {kFree, form_.half_depth_mm + kRidge + grown, kRidgeHeight + grown}),
          form_.stump};
    };
    builder_.add(gingiva_, ridge(0));
    if (site_.restoration.dam) builder_.add(dam_, ridge(kDamThickness));
  }

  static constexpr MediumId kAir = 0;

  const Site& site_;
  const SceneState& state_;
  ToothForm form_;
  SceneBuilder builder_;
  MediumId enamel_;
  MediumId dentine_;
  MediumId pulp_;
  MediumId gingiva_;
  MediumId adhesive_;
  std::vector<MediumId> increments_;
  MediumId matrix_ = 0;
  MediumId wedge_ = 0;
  MediumId dam_ = 0;
  MediumId neighbour_enamel_ = 0;
  MediumId neighbour_dentine_ = 0;
};

}  // namespace

std::string increment_name(std::size_t index) { return "increment " + std::to_string(index + 1); }

std::optional<std::size_t> increment_of(const Site& site, MediumId medium) {
  constexpr std::size_t kFirst = 6;  // after air, enamel, dentine, pulp, gingiva, adhesive
  if (medium < kFirst || medium >= kFirst + site.restoration.increments.size()) return std::nullopt;
  return medium - kFirst;
}

std::vector<SceneState> scene_states(const Site& site) {
  const bool matrix = site.restoration.matrix.has_value();
  const std::size_t count = site.restoration.increments.size();
  std::vector<SceneState> states{{"adhesive bare", 0, matrix}};
  for (std::size_t i = 0; i < count; ++i) states.push_back({increment_name(i) + " placed", i + 1, matrix});
  if (matrix) states.push_back({"all placed, band off", count, false});
  return states;
}

Scene build_scene(const Site& site, const SceneState& state) { return Assembly(site, state).build(); }

}  // namespace throughcure::anatomy
