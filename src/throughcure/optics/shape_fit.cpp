#include "throughcure/optics/shape_fit.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "throughcure/optics/axial_view.hpp"

namespace throughcure::optics {

namespace {

constexpr double kLargestExponent = 400;
constexpr int kGridSteps = 96;
constexpr std::size_t kReadingsForTwoExponents = 5;

// Exponents are walked by the logarithm of 1 + exponent: a step then means about the same change of form anywhere.
double exponent_of(double walk) { return std::expm1(walk); }
const double kLongestWalk = std::log1p(kLargestExponent);
const double kGridStep = kLongestWalk / kGridSteps;

/// Modelled readings for 1 mW and one lobe, each by the reading.
using Column = std::vector<double>;

/// How much power [mW] two lobes need, and how far they then are from the readings.
struct Powers {
  double core = 0;
  double tail = 0;
  double mean_square = 0;
};

double dot(const Column& a, const Column& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

Powers with(const Column& core, const Column& tail, double core_mw, double tail_mw) {
  double sum = 0;
  for (std::size_t i = 0; i < core.size(); ++i) {
    const double off = core_mw * core[i] + tail_mw * tail[i] - 1;
    sum += off * off;
  }
  return {core_mw, tail_mw, sum / static_cast<double>(core.size())};
}

/// The two powers >= 0 with the least mean square.
Powers best_powers(const Column& core, const Column& tail) {
  const Column ones(core.size(), 1.0);
  const double cc = dot(core, core);
  const double tt = dot(tail, tail);
  const double ct = dot(core, tail);
  const double c1 = dot(core, ones);
  const double t1 = dot(tail, ones);
  const Powers core_only = with(core, tail, c1 / cc, 0);
  const Powers tail_only = with(core, tail, 0, t1 / tt);
  Powers best = core_only.mean_square <= tail_only.mean_square ? core_only : tail_only;
  const double determinant = cc * tt - ct * ct;
  if (determinant <= 1e-12 * cc * tt) return best;
  const double core_mw = (c1 * tt - t1 * ct) / determinant;
  const double tail_mw = (t1 * cc - c1 * ct) / determinant;
  if (core_mw < 0 || tail_mw < 0) return best;
  const Powers both = with(core, tail, core_mw, tail_mw);
  return both.mean_square < best.mean_square ? both : best;
}

/// The columns of every exponent: worked out on a grid, and cubic between its points. (A step of the grid is 0.06; the
/// interpolation is off by less than 1e-6 there, and costs next to nothing.)
class Readings {
 public:
  Readings(const TipMap& map, const DistanceSeries& series) : series_(series) {
    for (const double distance : series.distance_mm) {
      views_.push_back(axial_view(map, distance, series.aperture_diameter_mm / 2));
    }
    for (int i = 0; i <= kGridSteps; ++i) grid_.push_back(exact(i * kGridStep));
  }

  [[nodiscard]] Column exact(double walk) const {
    Column column;
    for (std::size_t i = 0; i < views_.size(); ++i) {
      column.push_back(100 * irradiance_per_mw(views_[i], exponent_of(walk)) / series_.irradiance_mw_cm2[i]);
    }
    return column;
  }

  [[nodiscard]] const std::vector<Column>& grid() const { return grid_; }

  [[nodiscard]] Column between(double walk) const {
    const double place = walk / kGridStep;
    const auto first = static_cast<std::size_t>(std::clamp(std::floor(place) - 1, 0.0, kGridSteps - 3.0));
    const double t = place - static_cast<double>(first);
    // Lagrange's polynomials for the points 0, 1, 2, 3.
    const double w0 = -(t - 1) * (t - 2) * (t - 3) / 6;
    const double w1 = t * (t - 2) * (t - 3) / 2;
    const double w2 = -t * (t - 1) * (t - 3) / 2;
    const double w3 = t * (t - 1) * (t - 2) / 6;
    Column column(views_.size());
    for (std::size_t i = 0; i < column.size(); ++i) {
      column[i] = w0 * grid_[first][i] + w1 * grid_[first + 1][i] + w2 * grid_[first + 2][i] + w3 * grid_[first + 3][i];
    }
    return column;
  }

 private:
  const DistanceSeries& series_;
  std::vector<AxialView> views_;
  std::vector<Column> grid_;
};

/// The place of the least value between `low` and `high`, for a function with one valley there.
template <class Function>
double golden_section(double low, double high, const Function& function) {
  constexpr double ratio = 1 / std::numbers::phi;
  double a = high - ratio * (high - low);
  double b = low + ratio * (high - low);
  double at_a = function(a);
  double at_b = function(b);
  for (int i = 0; i < 36; ++i) {
    if (at_a <= at_b) {
      high = b;
      b = a;
      at_b = at_a;
      a = high - ratio * (high - low);
      at_a = function(a);
    } else {
      low = a;
      a = b;
      at_a = at_b;
      b = low + ratio * (high - low);
      at_b = function(b);
    }
  }
  return at_a <= at_b ? a : b;
}

struct Walks {
  double core = 0;
  double tail = 0;
};

Walks best_on_grid(const Readings& readings, bool free_tail) {
  const std::vector<Column>& columns = readings.grid();
  Walks best;
  double least = best_powers(columns[0], columns[0]).mean_square;
  for (std::size_t core = 1; core < columns.size(); ++core) {
    for (std::size_t tail = 0; tail < (free_tail ? core : 1); ++tail) {
      const double found = best_powers(columns[core], columns[tail]).mean_square;
      if (found >= least) continue;
      least = found;
      best = {static_cast<double>(core) * kGridStep, static_cast<double>(tail) * kGridStep};
    }
  }
  return best;
}

/// Golden sections over the tail's exponent, and for each of its values over the core's: the valley is narrow and lies
/// across both, so that walking along one at a time would stop short.
Walks refined(const Readings& readings, const Walks& grid, bool free_tail) {
  const auto best_core = [&](double tail_walk) {
    const Column tail = readings.between(tail_walk);
    const double core_walk =
        golden_section(std::max(tail_walk, grid.core - 0.7), std::min(kLongestWalk, grid.core + 0.7),
                       [&](double walk) { return best_powers(readings.between(walk), tail).mean_square; });
    return Walks{core_walk, tail_walk};
  };
  if (!free_tail) return best_core(grid.tail);
  const double tail_walk =
      golden_section(std::max(0.0, grid.tail - 0.7), std::min(grid.core, grid.tail + 0.7), [&](double walk) {
        const Walks walks = best_core(walk);
        return best_powers(readings.between(walks.core), readings.between(walk)).mean_square;
      });
  return best_core(tail_walk);
}

}  // namespace

ShapeFit fit_shape(const TipMap& map, const DistanceSeries& series) {
  const Readings readings(map, series);
  const bool free_tail = series.distance_mm.size() >= kReadingsForTwoExponents;
  const Walks walks = refined(readings, best_on_grid(readings, free_tail), free_tail);
  const Powers powers = best_powers(readings.exact(walks.core), readings.exact(walks.tail));
  const double all = powers.core + powers.tail;
  return {.shape = {.core_exponent = exponent_of(walks.core),
                    .tail_exponent = exponent_of(walks.tail),
                    .tail_share = powers.tail / all},
          .radiant_power_mw = all,
          .residual = std::sqrt(powers.mean_square)};
}

}  // namespace throughcure::optics
