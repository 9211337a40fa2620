#include "throughcure/draw/section_resin.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "throughcure/draw/isolines.hpp"
#include "throughcure/draw/ramps.hpp"
#include "throughcure/draw/rings.hpp"
#include "throughcure/draw/scattered_field.hpp"
#include "throughcure/draw/section_names.hpp"

namespace throughcure::draw {

namespace {

constexpr double kStep_mm = 0.9;       // of the field's lattice on the sheet
constexpr double kShortest_mm = 1.5;   // of a piece of contour: less is a speck
constexpr double kSteps = 48.0;        // of the ramp: no eye tells one from the next
constexpr double kSmooth_mm = 0.04;    // lines between steps keep this close to the field's
constexpr double kHatch_mm = 2.0;      // of x + y between two lines over what is soft
constexpr double kHatchStep_mm = 0.4;  // along x
constexpr Colour kHatch{29, 31, 36, 150};

/// The field of one increment on a lattice over its outlines, with a node to spare all round.
struct Field {
  Lattice conversion;
  Lattice hardness;
};

Field field_over(const Area& area, const ScatteredField& field) {
  Extent all;
  for (const Line& ring : area.rings) {
    for (const Place& p : ring) all.take(p);
  }
  const Place first{all.least.x_mm - kStep_mm, all.least.y_mm - kStep_mm};
  const auto nodes = [](double length) { return static_cast<std::size_t>(std::ceil(length / kStep_mm)) + 3; };
  const Lattice empty{
      first, kStep_mm, nodes(all.most.x_mm - all.least.x_mm), nodes(all.most.y_mm - all.least.y_mm), {}};
  Field out{empty, empty};
  out.conversion.value.reserve(empty.columns * empty.rows);
  out.hardness.value.reserve(empty.columns * empty.rows);
  for (std::size_t row = 0; row < empty.rows; ++row) {
    for (std::size_t column = 0; column < empty.columns; ++column) {
      const Sample s = field.at(
          {first.x_mm + static_cast<double>(column) * kStep_mm, first.y_mm + static_cast<double>(row) * kStep_mm});
      out.conversion.value.push_back(s.conversion);
      out.hardness.value.push_back(s.hardness_ratio);
    }
  }
  return out;
}

/// The lattice in a rim of nothing, so that every line round what is higher closes.
Lattice with_rim(const Lattice& field) {
  Lattice out{{field.first.x_mm - field.step_mm, field.first.y_mm - field.step_mm},
              field.step_mm,
              field.columns + 2,
              field.rows + 2,
              {}};
  out.value.assign(out.columns * out.rows, -1);
  for (std::size_t row = 0; row < field.rows; ++row) {
    std::copy_n(field.value.begin() + static_cast<std::ptrdiff_t>(row * field.columns), field.columns,
                out.value.begin() + static_cast<std::ptrdiff_t>((row + 1) * out.columns + 1));
  }
  return out;
}

/// The field in steps of the ramp, each area all that is above its step.
Shading shading_of(const Lattice& conversion, const Area& area) {
  Shading shading{.clip = area.rings, .areas = {}};
  const auto [least, most] = std::ranges::minmax(conversion.value);
  const auto share = [](double x) { return std::clamp(x / kFullConversion, 0.0, 1.0); };
  const auto colour = [](double step) { return to_colour(conversion_ramp(step / kSteps)); };
  const int first = static_cast<int>(share(least) * kSteps);
  const int last = static_cast<int>(std::ceil(share(most) * kSteps));
  shading.areas.push_back({.rings = area.rings, .colour = colour(first + 0.5)});
  const Lattice walled = with_rim(conversion);
  for (int step = first + 1; step < last; ++step) {
    Polygon above{.rings = {}, .colour = colour(step + 0.5)};
    for (const Isoline& line : isolines(walled, step * kFullConversion / kSteps)) {
      above.rings.push_back(simplified(line.line, kSmooth_mm));
    }
    shading.areas.push_back(std::move(above));
  }
  return shading;
}

/// Between the nodes of a lattice, straight along both axes; the place lies within it.
double value_at(const Lattice& lattice, const Place& p) {
  const double x = (p.x_mm - lattice.first.x_mm) / lattice.step_mm;
  const double y = (p.y_mm - lattice.first.y_mm) / lattice.step_mm;
  const auto column = std::min(static_cast<std::size_t>(x), lattice.columns - 2);
  const auto row = std::min(static_cast<std::size_t>(y), lattice.rows - 2);
  const double right = x - static_cast<double>(column);
  const double down = y - static_cast<double>(row);
  return std::lerp(std::lerp(lattice.at(column, row), lattice.at(column + 1, row), right),
                   std::lerp(lattice.at(column, row + 1), lattice.at(column + 1, row + 1), right), down);
}

class Resin {
 public:
  Resin(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look)
      : marks_(marks), base_(base), shown_(shown), look_(look) {}

  Contour add() {
    std::vector<Mark> lines;
    for (const Area& area : base_.areas) {
      if (area.tissue == Tissue::kResin) add_area(area, lines);
    }
    contour_.softer_share = cells_ > 0 ? softer_ / cells_ : 0;
    for (const Area& area : base_.areas) {
      if (area.tissue != Tissue::kResin) continue;
      for (const Line& line : area.lines) {
        marks_.emplace_back(Stroke{.line = line, .width_mm = 0.28, .colour = boundary_ink()});
      }
    }
    std::move(lines.begin(), lines.end(), std::back_inserter(marks_));
    return std::move(contour_);
  }

 private:
  [[nodiscard]] Colour boundary_ink() const { return contour_.any ? kInk : look_.line; }

  void add_area(const Area& area, std::vector<Mark>& lines) {
    std::vector<Sample> samples;
    for (const plan::FieldPoint& p : shown_.field) {
      if (p.increment == area.increment) samples.push_back({base_.scale.at(p.at), p.conversion, p.hardness_ratio});
    }
    if (samples.empty()) {
      marks_.emplace_back(Polygon{.rings = area.rings, .colour = look_.paper});
      return;
    }
    // Each sample has an error of its own.
    const double smooth_mm = plan::kFieldSpacing_mm * base_.scale.per_mm;
    const Field field = field_over(area, ScatteredField(std::move(samples), smooth_mm));
    marks_.emplace_back(shading_of(field.conversion, area));
    weigh(area, field);
    add_hatch(area, field.hardness);
    add_contour(area, field.hardness, lines);
  }

  /// Takes the nodes inside the resin into the sums.
  void weigh(const Area& area, const Field& field) {
    const Lattice& lattice = field.hardness;
    for (std::size_t row = 0; row < lattice.rows; ++row) {
      for (std::size_t column = 0; column < lattice.columns; ++column) {
        const Place p{lattice.first.x_mm + static_cast<double>(column) * kStep_mm,
                      lattice.first.y_mm + static_cast<double>(row) * kStep_mm};
        if (!inside(area.rings, p)) continue;
        const double x = field.conversion.at(column, row);
        contour_.least_conversion = contour_.any ? std::min(contour_.least_conversion, x) : x;
        contour_.most_conversion = contour_.any ? std::max(contour_.most_conversion, x) : x;
        contour_.any = true;
        cells_ += 1;
        if (lattice.at(column, row) < shown_.criterion) softer_ += 1;
      }
    }
  }

  void add_contour(const Area& area, const Lattice& hardness, std::vector<Mark>& lines) {
    for (const Isoline& whole : isolines(hardness, shown_.criterion)) {
      for (Line& piece :
           pieces_where(whole.line, whole.closed, [&](const Place& p) { return inside(area.rings, p); })) {
        if (length_mm(piece) < kShortest_mm) continue;
        lines.emplace_back(Stroke{.line = piece, .width_mm = 1.3, .colour = {255, 255, 255, 190}});
        lines.emplace_back(Stroke{.line = piece, .width_mm = 0.55, .colour = kInk});
        contour_.closed.push_back(piece.front() == piece.back());
        contour_.pieces.push_back(std::move(piece));
      }
    }
  }

  /// Fine slanting lines over what is softer than the criterion: it shows without colour too.
  void add_hatch(const Area& area, const Lattice& hardness) {
    const Place least = hardness.first;
    const double wide = static_cast<double>(hardness.columns - 1) * kStep_mm;
    const double high = static_cast<double>(hardness.rows - 1) * kStep_mm;
    const auto soft = [&](const Place& p) { return inside(area.rings, p) && value_at(hardness, p) < shown_.criterion; };
    // Lines x + y = sum, so that they run on from one increment to the next.
    const int first = static_cast<int>(std::ceil((least.x_mm + least.y_mm) / kHatch_mm));
    const int last = static_cast<int>((least.x_mm + wide + least.y_mm + high) / kHatch_mm);
    for (int n = first; n <= last; ++n) {
      const double sum = n * kHatch_mm;
      const double from = std::max(least.x_mm, sum - least.y_mm - high);
      const double to = std::min(least.x_mm + wide, sum - least.y_mm);
      Line line;
      const int steps = static_cast<int>((to - from) / kHatchStep_mm);
      for (int k = 0; k <= steps; ++k) {
        const double x = from + (to - from) * k / std::max(1, steps);
        line.push_back({x, sum - x});
      }
      for (const Line& piece : pieces_where(line, false, soft)) {
        marks_.emplace_back(Stroke{.line = {piece.front(), piece.back()}, .width_mm = 0.2, .colour = kHatch});
      }
    }
  }

  std::vector<Mark>& marks_;
  const SectionBase& base_;
  const SectionShown& shown_;
  const Look& look_;
  Contour contour_;
  double cells_ = 0;
  double softer_ = 0;
};

}  // namespace

Contour add_resin(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look) {
  return Resin(marks, base, shown, look).add();
}

}  // namespace throughcure::draw
