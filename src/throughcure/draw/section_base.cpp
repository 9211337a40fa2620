#include "throughcure/draw/section_base.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <string_view>
#include <utility>

#include "throughcure/draw/decimal.hpp"
#include "throughcure/draw/rings.hpp"
#include "throughcure/draw/section_names.hpp"

namespace throughcure::draw {

namespace {

constexpr double kSpacing_mm = 0.04;  // of the outlines
constexpr double kBand_mm = 0.02;     // of a band's: thinner than any tissue
constexpr double kPixel_mm = 0.1;     // of what lies where
constexpr double kWithin_mm = 0.01;   // outlines keep this close to the true faces
constexpr double kTop_mm = 19;        // of the sheet above the window: heading
constexpr double kOnEdge_mm = 0.02;   // of the sheet: lies on the window's edge

std::optional<Tissue> tissue_of(const std::string& medium) {
  static constexpr std::array<std::pair<std::string_view, Tissue>, 10> kTissues{
      {{"enamel", Tissue::kEnamel},
       {"dentine", Tissue::kDentine},
       {"pulp", Tissue::kPulp},
       {"gingiva", Tissue::kGingiva},
       {"adhesive", Tissue::kAdhesive},
       {"matrix", Tissue::kBand},
       {"wedge", Tissue::kWedge},
       {"dam", Tissue::kDam},
       {"neighbour enamel", Tissue::kNeighbourEnamel},
       {"neighbour dentine", Tissue::kNeighbourDentine}}};
  const auto* const found = std::ranges::find(kTissues, medium, &std::pair<std::string_view, Tissue>::first);
  if (found == kTissues.end()) return std::nullopt;
  return found->second;
}

Line on_sheet(const anatomy::Outline& outline, const SheetScale& scale) {
  Line line;
  line.reserve(outline.size());
  for (const auto& [right, down] : outline) line.push_back(scale.at(right, down));
  return simplified(line, kWithin_mm * scale.per_mm);
}

/// The ring without its pieces along the window's edge.
std::vector<Line> open_lines(const Line& ring, const SheetScale& scale) {
  const Place least = scale.at(0, 0);
  const Place most = scale.at(scale.plane.width_mm, scale.plane.height_mm);
  const auto inside_window = [&](const Place& p) {
    return p.x_mm > least.x_mm + kOnEdge_mm && p.x_mm < most.x_mm - kOnEdge_mm && p.y_mm > least.y_mm + kOnEdge_mm &&
           p.y_mm < most.y_mm - kOnEdge_mm;
  };
  return pieces_where(ring, true, inside_window);
}

std::string where_words(const anatomy::CuttingPlane& cut) {
  const bool mesiodistal = cut.direction == anatomy::CutDirection::kMesiodistal;
  const std::string words = mesiodistal ? "cut from mesial to distal, " : "cut from buccal to lingual, ";
  const std::string_view side =
      mesiodistal ? (cut.at_mm < 0 ? "buccal" : "lingual") : (cut.at_mm < 0 ? "mesial" : "distal");
  if (std::abs(cut.at_mm) < 0.05) return words + "through the middle";
  return words + decimal(std::abs(cut.at_mm), 1) + " mm " + std::string(side) + " of the middle";
}

}  // namespace

Place SheetScale::at(const base::Point& p) const {
  const base::Vec off = p - plane.corner;
  return at(dot(off, plane.right), dot(off, plane.down));
}

std::optional<anatomy::MediumId> SectionBase::medium_at(const Place& p) const {
  const double pixel = scale.per_mm * media.mm_per_pixel;
  const double x = p.x_mm - scale.corner.x_mm;
  const double y = p.y_mm - scale.corner.y_mm;
  if (x < 0 || y < 0 || x > scale.width_mm() || y > scale.height_mm()) return std::nullopt;
  const auto column = std::min(media.columns - 1, static_cast<std::size_t>(x / pixel));
  const auto row = std::min(media.rows - 1, static_cast<std::size_t>(y / pixel));
  return media.media[row * media.columns + column];
}

SectionBase section_base(const anatomy::Site& site, const anatomy::SceneState& state,
                         const anatomy::CuttingPlane& cut) {
  const anatomy::Scene scene = anatomy::build_scene(site, state);
  const anatomy::SectionPlane plane = anatomy::section_plane(site, cut);
  const bool mesiodistal = cut.direction == anatomy::CutDirection::kMesiodistal;
  SectionBase base;
  base.cut = cut;
  base.scale = {plane, {kMargin_mm, kTop_mm}, (kSheet_mm - 2 * kMargin_mm) / plane.width_mm};
  base.tooth = site.tooth.name() + ", " + site.tooth.text(site.notation);
  base.tooth[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(base.tooth[0])));
  base.where = where_words(cut);
  base.left = mesiodistal ? "mesial" : "buccal";
  base.right = mesiodistal ? "distal" : "lingual";
  base.left_of_plane = mesiodistal ? "buccal" : "mesial";
  base.right_of_plane = mesiodistal ? "lingual" : "distal";
  base.media = anatomy::cut(scene, plane, kPixel_mm);
  base.background = scene.background;
  const auto outlines = anatomy::all_outlines(scene, plane, kSpacing_mm);
  for (std::size_t m = 0; m < scene.medium_names.size(); ++m) {
    const auto medium = static_cast<anatomy::MediumId>(m);
    const std::optional<std::size_t> increment = anatomy::increment_of(site, medium);
    base.resin.push_back(increment.has_value());
    const std::optional<Tissue> tissue = increment ? Tissue::kResin : tissue_of(scene.medium_names[medium]);
    if (!tissue) continue;
    Area area{.tissue = *tissue, .increment = increment.value_or(0), .rings = {}, .lines = {}};
    const bool thin = *tissue == Tissue::kBand;
    for (const anatomy::Outline& outline :
         thin&& state.matrix ? anatomy::outlines(scene, plane, kBand_mm, medium) : outlines[medium]) {
      Line ring = on_sheet(outline, base.scale);
      if (ring.size() < 3) continue;
      for (Line& line : open_lines(ring, base.scale)) area.lines.push_back(std::move(line));
      area.rings.push_back(std::move(ring));
    }
    if (!area.rings.empty()) base.areas.push_back(std::move(area));
  }
  std::ranges::sort(base.areas, {}, [](const Area& area) { return std::pair(area.tissue, area.increment); });
  base.names = section_names(base, scene, site);
  return base;
}

}  // namespace throughcure::draw
