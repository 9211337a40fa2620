#include "throughcure/optics/tip_map.hpp"

#include <span>
#include <utility>
#include <variant>

namespace throughcure::optics {

namespace {

constexpr std::size_t kCells = TipMap::kCells;
constexpr std::size_t kNodes = TipMap::kNodes;

double on_square(double node) { return 2 * node / static_cast<double>(kCells) - 1; }

/// Value of the picture about a node: the mean over its neighbourhood of half a cell each way, so that fine noise does
/// not choose the node's value.
double about_node(const BeamImage& image, double radius_mm, std::size_t i, std::size_t j) {
  constexpr int points = 5;
  double sum = 0;
  for (int b = 0; b < points; ++b) {
    for (int a = 0; a < points; ++a) {
      const auto offset = [](int k) { return (k + 0.5) / points - 0.5; };
      const double u = on_square(static_cast<double>(i) + offset(a));
      const double v = on_square(static_cast<double>(j) + offset(b));
      const DiscPlace place = to_disc({std::clamp(u, -1.0, 1.0), std::clamp(v, -1.0, 1.0)});
      sum += value_at_mm(image, place.x * radius_mm, -place.y * radius_mm);
    }
  }
  return std::max(0.0, sum / (points * points));
}

/// Running integrals, and values scaled so that the last of them is 1.
void normalise(TipPicture& picture, double radius_mm) {
  constexpr double step = 2 / static_cast<double>(kCells);
  const double area_by_square = std::numbers::pi * radius_mm * radius_mm / 4;
  const auto run = [&picture] {
    picture.row_sum.assign(kNodes * kNodes, 0);
    picture.sum.assign(kNodes, 0);
    for (std::size_t j = 0; j < kNodes; ++j) {
      for (std::size_t i = 1; i < kNodes; ++i) {
        const std::size_t k = j * kNodes + i;
        picture.row_sum[k] = picture.row_sum[k - 1] + step * (picture.node[k - 1] + picture.node[k]) / 2;
      }
      if (j == 0) continue;
      const auto whole_row = [&picture](std::size_t row) { return picture.row_sum[row * kNodes + kCells]; };
      picture.sum[j] = picture.sum[j - 1] + step * (whole_row(j - 1) + whole_row(j)) / 2;
    }
  };
  run();
  const double scale = 1 / (picture.sum.back() * area_by_square);
  for (double& value : picture.node) value *= scale;
  run();
  for (double& value : picture.sum) value *= area_by_square;
}

TipMap of(const UniformDisc& /*beam*/, double radius_mm) {
  return {.form = TipMap::Form::kUniform,
          .radius_mm = radius_mm,
          .peak_per_mm2 = 1 / (std::numbers::pi * radius_mm * radius_mm)};
}

TipMap of(const GaussianBeam& beam, double radius_mm) {
  const double rate = 8 / (beam.diameter_mm * beam.diameter_mm);
  return {.form = TipMap::Form::kGaussian,
          .radius_mm = radius_mm,
          .peak_per_mm2 = rate / (std::numbers::pi * -std::expm1(-rate * radius_mm * radius_mm)),
          .gaussian_rate = rate};
}

TipMap of(const BeamImage& image, double radius_mm) {
  TipPicture picture;
  picture.node.reserve(kNodes * kNodes);
  for (std::size_t j = 0; j < kNodes; ++j) {
    for (std::size_t i = 0; i < kNodes; ++i) picture.node.push_back(about_node(image, radius_mm, i, j));
  }
  normalise(picture, radius_mm);
  return {.form = TipMap::Form::kPicture,
          .radius_mm = radius_mm,
          .picture = std::make_shared<const TipPicture>(std::move(picture))};
}

/// Where the straight density from `a` to `b` on [0, 1] has the share `u` of itself behind it.
double sample_straight(double a, double b, double u) {
  const double below = a + std::sqrt(std::max(0.0, a * a + u * (b * b - a * a)));
  return below > 0 ? std::min(1.0, u * (a + b) / below) : u;
}

struct Found {
  std::size_t cell = 0;
  double left = 0;  ///< what of the target lies beyond the cell's beginning, as a share of the cell
};

/// The cell of a running sum where it passes `target`.
template <class Running>
Found find_cell(const Running& running, double target) {
  std::size_t low = 0;
  std::size_t high = kCells;
  while (high - low > 1) {
    const std::size_t middle = (low + high) / 2;
    (running(middle) <= target ? low : high) = middle;
  }
  const double width = running(low + 1) - running(low);
  return {low, width > 0 ? std::clamp((target - running(low)) / width, 0.0, 1.0) : 0.5};
}

}  // namespace

TipMap tip_map(const Beam& beam, double tip_diameter_mm) {
  return std::visit([&](const auto& one) { return of(one, tip_diameter_mm / 2); }, beam);
}

DiscPlace sample_place(const TipMap& map, double u1, double u2) {
  const double radius = map.radius_mm;
  if (map.form == TipMap::Form::kGaussian) {
    const double rho2 = -std::log1p(u1 * std::expm1(-map.gaussian_rate * radius * radius)) / map.gaussian_rate;
    const double rho = std::min(radius, std::sqrt(rho2));
    const double angle = 2 * std::numbers::pi * u2;
    return {rho * std::cos(angle), rho * std::sin(angle)};
  }
  SquarePlace place{2 * u1 - 1, 2 * u2 - 1};
  if (map.form == TipMap::Form::kPicture) {
    const TipPicture& picture = *map.picture;
    // The row by the power below it; then the place in the row by what the two rows of nodes about it hold there.
    const Found row = find_cell([&](std::size_t j) { return picture.sum[j]; }, u2 * picture.sum.back());
    const double* low = &picture.row_sum[row.cell * kNodes];
    const double* high = low + kNodes;
    const double t = sample_straight(low[kCells], high[kCells], row.left);
    const auto running = [&](std::size_t i) { return std::lerp(low[i], high[i], t); };
    const Found column = find_cell(running, u1 * running(kCells));
    const auto value = [&](std::size_t i) {
      return std::lerp(picture.node[row.cell * kNodes + i], picture.node[(row.cell + 1) * kNodes + i], t);
    };
    const double s = sample_straight(value(column.cell), value(column.cell + 1), column.left);
    place = {on_square(static_cast<double>(column.cell) + s), on_square(static_cast<double>(row.cell) + t)};
  }
  const DiscPlace unit = to_disc(place);
  return {unit.x * radius, unit.y * radius};
}

double mean_on_circle(const TipMap& map, double radius_mm) {
  if (map.form != TipMap::Form::kPicture) return map.at(radius_mm, 0);
  constexpr int points = 256;
  double sum = 0;
  for (int k = 0; k < points; ++k) {
    const double angle = 2 * std::numbers::pi * (k + 0.5) / points;
    sum += map.at(radius_mm * std::cos(angle), radius_mm * std::sin(angle));
  }
  return sum / points;
}

double share_inside_tip(const BeamImage& image, double tip_diameter_mm) {
  double inside = 0;
  double all = 0;
  for (std::size_t row = 0; row < image.height; ++row) {
    for (std::size_t column = 0; column < image.width; ++column) {
      const double value = image.at(column, row);
      all += value;
      if (std::hypot(image.x_mm(column), image.y_mm(row)) <= tip_diameter_mm / 2) inside += value;
    }
  }
  return all > 0 ? std::clamp(inside / all, 0.0, 1.0) : 0;
}

}  // namespace throughcure::optics
