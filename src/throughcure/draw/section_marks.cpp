#include "throughcure/draw/section_marks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <optional>
#include <utility>

#include "throughcure/draw/decimal.hpp"
#include "throughcure/draw/isolines.hpp"
#include "throughcure/draw/section_names.hpp"

namespace throughcure::draw {

namespace {

constexpr double kMark_mm = 1.1;  // radius of a cell's mark
constexpr Colour kRim{255, 255, 255, 215};
constexpr std::size_t kFeet = 3;      // places of a contour from which its name may be led to
constexpr int kSeek = 13;             // how many steps of 3 mm across and 2 mm up or down its name may stand off
constexpr double kBandRoom_mm = 0.5;  // between a band and words
constexpr double kLead_mm = 2.5;      // how long the line to it should be at least

bool near_cut(const SectionBase& base, const plan::CellVerdict& cell) {
  return std::abs(anatomy::off_plane_mm(base.cut, cell.target.centre)) <= kNearCut_mm;
}

Line half_circle(Place middle, double radius_mm) {
  Line line;
  for (int k = 0; k <= 24; ++k) {
    const double angle = std::numbers::pi * (0.5 + k / 24.0);
    line.push_back({middle.x_mm + radius_mm * std::cos(angle), middle.y_mm + radius_mm * std::sin(angle)});
  }
  return line;
}

void add_mark(std::vector<Mark>& marks, const Place& at, const plan::CellVerdict& cell, const SectionShown& shown) {
  const bool through = cell.probability >= shown.through_from;
  const bool under = cell.probability <= shown.under_to;
  marks.emplace_back(Polygon{.rings = {circle(at, kMark_mm + 0.45)}, .colour = kRim});
  marks.emplace_back(Polygon{.rings = {circle(at, kMark_mm)}, .colour = through ? kInk : kWhite});
  if (!through && !under) marks.emplace_back(Polygon{.rings = {half_circle(at, kMark_mm)}, .colour = kInk});
  marks.emplace_back(Stroke{.line = circle(at, kMark_mm), .closed = true, .width_mm = 0.35, .colour = kInk});
}

std::string beside_words(const SectionBase& base, const plan::CellVerdict& cell) {
  const double off = anatomy::off_plane_mm(base.cut, cell.target.centre);
  return decimal(std::abs(off), 1) + " mm " + (off < 0 ? base.left_of_plane : base.right_of_plane) + " of this cut";
}

std::string ratio_words(const plan::CellVerdict& cell) {
  return "hardness ratio " + decimal(cell.hardness_ratio.p50, 2) + ", " + decimal(cell.hardness_ratio.p10, 2) + " to " +
         decimal(cell.hardness_ratio.p90, 2);
}

/// Under the section, with a line down from the cell where the cut shows it.
void add_worst(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look,
               const plan::CellVerdict& cell) {
  const bool in_cut = near_cut(base, cell);
  const std::string first = cell.target.name + ": " + cell_words(cell, shown);
  const std::string second = ratio_words(cell);
  const double bottom = base.scale.corner.y_mm + base.scale.height_mm();
  const double half = std::max(words_width_mm(first, kSmall_mm), words_width_mm(second, kSmall_mm)) / 2;
  const Place at = base.scale.at(cell.target.centre);
  const double middle = std::clamp(in_cut ? at.x_mm : kSheet_mm / 2, std::min(kMargin_mm + half, kSheet_mm / 2),
                                   std::max(kSheet_mm - kMargin_mm - half, kSheet_mm / 2));
  if (in_cut) {
    const Line line{{at.x_mm, at.y_mm + kMark_mm}, {at.x_mm, bottom + 1}};
    marks.emplace_back(Stroke{.line = line, .width_mm = 0.9, .colour = look.paper});
    marks.emplace_back(Stroke{.line = line, .width_mm = 0.3, .colour = look.ink});
  }
  const auto write = [&](double y, const std::string& words, const Colour& colour) {
    marks.emplace_back(
        Text{.at = {middle, y}, .words = words, .size_mm = kSmall_mm, .colour = colour, .align = Align::kMiddle});
  };
  write(bottom + 4.6, first, look.ink);
  write(bottom + 8.9, second, look.faint_ink);
  if (!in_cut) write(bottom + 13.2, beside_words(base, cell), look.faint_ink);
}

/// What words must not cover, and what they had better not.
class Crowd {
 public:
  Crowd(const SectionBase& base, const SectionShown& shown, const std::vector<Box>& written)
      : base_(base),
        frame_{base.scale.corner,
               {base.scale.corner.x_mm + base.scale.width_mm(), base.scale.corner.y_mm + base.scale.height_mm()}},
        taken_(written) {
    add_bands();
    for (const Name& name : base.names) {
      taken_.push_back(box_of_words(name.words, name.middle, kSmall_mm, name.upright));
      if (name.from) taken_.push_back(small_box(*name.from));
    }
    for (std::size_t i = 0; i < shown.cells.size(); ++i) {
      const plan::CellVerdict& cell = shown.cells[i];
      if (!cell.decides || !near_cut(base, cell)) continue;
      const Place p = base.scale.at(cell.target.centre);
      taken_.push_back(small_box(p));
      if (shown.worst == i) taken_.push_back({{p.x_mm - 1, p.y_mm}, {p.x_mm + 1, frame_.most.y_mm}});
    }
  }

  [[nodiscard]] bool taken(const Box& box) const {
    return box.least.x_mm < frame_.least.x_mm || box.most.x_mm > frame_.most.x_mm ||
           box.least.y_mm < frame_.least.y_mm || box.most.y_mm > frame_.most.y_mm ||
           std::ranges::any_of(taken_, [&](const Box& other) { return other.meets(box); }) ||
           std::ranges::any_of(bands_, [&](const Place& p) { return gap(box, p) < kBandRoom_mm; });
  }

  /// Costs [mm]: words over resin hide it, words over an outline are hard to read.
  [[nodiscard]] double unrest(const Box& box) const {
    bool resin = false;
    bool outline = false;
    std::optional<anatomy::MediumId> first;
    for (int j = 0; j <= 3; ++j) {
      for (int i = 0; i <= 16; ++i) {
        const anatomy::MediumId here = base_
                                           .medium_at({std::lerp(box.least.x_mm, box.most.x_mm, i / 16.0),
                                                       std::lerp(box.least.y_mm, box.most.y_mm, j / 3.0)})
                                           .value_or(base_.background);
        resin = resin || base_.resin[here];
        outline = outline || (first && *first != here);
        first = here;
      }
    }
    return (resin ? 24.0 : 0.0) + (outline ? 20.0 : 0.0);
  }

  /// A leading line through resin is lost there.
  [[nodiscard]] double through_resin(const Place& from, const Place& to) const {
    double cost = 0;
    for (const double share : {0.25, 0.5, 0.75, 1.0}) {
      const Place p{std::lerp(from.x_mm, to.x_mm, share), std::lerp(from.y_mm, to.y_mm, share)};
      if (base_.resin[base_.medium_at(p).value_or(base_.background)]) cost += 4;
    }
    return cost;
  }

 private:
  /// Places along the bands, closer than words are high: they are thinner than the pixels of `unrest`.
  void add_bands() {
    for (const Area& area : base_.areas) {
      if (area.tissue != Tissue::kBand) continue;
      for (const Line& ring : area.rings) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
          const Place& p = ring[i];
          const Place& q = ring[(i + 1) % ring.size()];
          const int steps = 1 + static_cast<int>(std::hypot(q.x_mm - p.x_mm, q.y_mm - p.y_mm));
          for (int k = 0; k < steps; ++k) {
            const double share = static_cast<double>(k) / steps;
            bands_.push_back({std::lerp(p.x_mm, q.x_mm, share), std::lerp(p.y_mm, q.y_mm, share)});
          }
        }
      }
    }
  }

  static Box small_box(const Place& p) {
    constexpr double half = 1.7;
    return {{p.x_mm - half, p.y_mm - half}, {p.x_mm + half, p.y_mm + half}};
  }

  const SectionBase& base_;
  Box frame_;
  std::vector<Box> taken_;
  std::vector<Place> bands_;
};

}  // namespace

std::string cell_words(const plan::CellVerdict& cell, const SectionShown& shown) {
  if (cell.probability >= shown.through_from) return "cures through";
  return cell.probability <= shown.under_to ? "stays soft" : "uncertain";
}

void add_contour_name(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown,
                      const Contour& contour, const std::vector<Box>& written, const Look& look) {
  if (contour.pieces.empty()) return;
  const std::string words = "hardness " + decimal(shown.criterion, 2);
  const Crowd crowd(base, shown, written);
  double least = std::numeric_limits<double>::infinity();
  Place at;
  Place from;
  const Line& longest = *std::ranges::max_element(contour.pieces, {}, length_mm);
  for (std::size_t k = 0; k < kFeet; ++k) {
    const Place& foot = longest[(longest.size() - 1) * k / (kFeet - 1)];
    for (int j = -kSeek; j <= kSeek; ++j) {
      for (int i = -kSeek; i <= kSeek; ++i) {
        const Place middle{foot.x_mm + 3.0 * i, foot.y_mm + 2.0 * j};
        const Box box = box_of_words(words, middle, kSmall_mm);
        const double away = gap(box, foot);
        const double cost = away + (away < kLead_mm ? 2 * (kLead_mm - away) : 0);
        if (cost >= least || crowd.taken(box)) continue;
        const double whole = cost + crowd.unrest(box) + crowd.through_resin(foot, nearest_in(box, foot));
        if (whole >= least) continue;
        least = whole;
        at = middle;
        from = foot;
      }
    }
  }
  if (!std::isfinite(least)) return;
  const Place to = nearest_in(box_of_words(words, at, kSmall_mm), from);
  marks.emplace_back(Stroke{.line = {from, to}, .width_mm = 0.3, .colour = look.ink});
  marks.emplace_back(Text{.at = {at.x_mm, at.y_mm + 0.36 * kSmall_mm},
                          .words = words,
                          .size_mm = kSmall_mm,
                          .colour = look.ink,
                          .align = Align::kMiddle});
}

void add_cells(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look) {
  if (shown.worst && *shown.worst < shown.cells.size()) {
    add_worst(marks, base, shown, look, shown.cells[*shown.worst]);
  }
  for (const plan::CellVerdict& cell : shown.cells) {
    if (cell.decides && near_cut(base, cell)) add_mark(marks, base.scale.at(cell.target.centre), cell, shown);
  }
}

std::string worst_words(const SectionBase& base, const SectionShown& shown) {
  if (!shown.worst || *shown.worst >= shown.cells.size()) return "";
  const plan::CellVerdict& cell = shown.cells[*shown.worst];
  return cell.target.name + ", " + cell_words(cell, shown) + ", " + ratio_words(cell) +
         (near_cut(base, cell) ? "" : ", " + beside_words(base, cell));
}

}  // namespace throughcure::draw
