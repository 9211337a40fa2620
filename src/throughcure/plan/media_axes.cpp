#include "throughcure/plan/media_axes.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::plan {

namespace {

using Of = MediaAxis::Of;

constexpr double kLeastFactor = 0.02;  ///< a medium that hardly scatters any more: its logarithm ends here
constexpr double kNoSpread = 1e-9;

double log_factor(double value, double nominal) {
  return nominal > 0 ? std::log(std::max(value / nominal, kLeastFactor)) : 0;
}

double along(Of of, const transport::Medium& medium, const transport::Medium& nominal) {
  switch (of) {
    case Of::absorption:
      return medium.mua_per_mm - nominal.mua_per_mm;
    case Of::scattering:
      return log_factor(medium.mus_per_mm, nominal.mus_per_mm);
    case Of::reflectance:
      return log_factor(medium.reflectance, nominal.reflectance);
  }
  return 0;
}

std::vector<double> values(Of of, std::size_t medium, const std::vector<transport::Media>& draws,
                           const transport::Media& nominal) {
  std::vector<double> all;
  all.reserve(draws.size());
  for (const transport::Media& media : draws) all.push_back(along(of, media[medium], nominal[medium]));
  return all;
}

double mean_of(const std::vector<double>& all) {
  double sum = 0;
  for (const double one : all) sum += one;
  return sum / static_cast<double>(all.size());
}

double spread_of(const std::vector<double>& all, double mean) {
  double sum = 0;
  for (const double one : all) sum += (one - mean) * (one - mean);
  return std::sqrt(sum / static_cast<double>(all.size()));
}

}  // namespace

std::vector<double> MediaAxes::middle_row() const {
  std::vector<double> row(columns(), 0);
  row.front() = 1;
  for (std::size_t p = 0; p < products.size(); ++p) row[1 + axes.size() + p] = -products[p].mean;
  return row;
}

MediaAxes axes_of(const std::vector<transport::Media>& draws, const transport::Media& nominal,
                  const std::vector<bool>& resin) {
  MediaAxes found;
  found.draws = draws.size();
  std::vector<std::vector<double>> places;  // [axis][draw], in the unit of the axis
  for (std::size_t m = 0; m < nominal.size(); ++m) {
    for (const Of of : {Of::absorption, Of::scattering, Of::reflectance}) {
      std::vector<double> all = values(of, m, draws, nominal);
      const double mean = mean_of(all);
      const double spread = spread_of(all, mean);
      if (spread < kNoSpread) continue;
      const auto same = [&](const std::vector<double>& other) {
        return std::ranges::equal(all, other, [&](double a, double b) { return std::abs(a - b) < 1e-9 * spread; });
      };
      bool shared = false;
      for (std::size_t a = 0; a < places.size() && !shared; ++a) {
        if (found.axes[a].of != of || !same(places[a])) continue;
        found.axes[a].media.push_back(m);
        found.axes[a].resin = found.axes[a].resin || resin[m];
        shared = true;
      }
      if (shared) continue;
      found.axes.push_back({of, {m}, mean, spread, resin[m]});
      places.push_back(std::move(all));
    }
  }
  for (std::size_t a = 0; a < places.size(); ++a) {
    for (double& one : places[a]) one = (one - found.axes[a].mean) / found.axes[a].spread;
  }
  for (const MediaAxis& axis : found.axes) found.groups.push_back(axis.media);
  for (std::size_t a = 0; a < found.axes.size(); ++a) {
    for (std::size_t b = a; b < found.axes.size(); ++b) {
      const bool one_resin = found.axes[a].resin && found.axes[a].media.front() == found.axes[b].media.front();
      const bool square_of_absorption = a == b && found.axes[a].of == Of::absorption;
      if (!one_resin && !square_of_absorption) continue;
      std::vector<double> product(found.draws);
      for (std::size_t d = 0; d < found.draws; ++d) product[d] = places[a][d] * places[b][d];
      found.products.push_back({a, b, mean_of(product)});
    }
  }
  found.rows.reserve(found.draws * found.columns());
  for (std::size_t d = 0; d < found.draws; ++d) {
    found.rows.push_back(1);
    for (const std::vector<double>& place : places) found.rows.push_back(place[d]);
    for (const MediaAxes::Product& p : found.products) {
      found.rows.push_back(places[p.one][d] * places[p.other][d] - p.mean);
    }
  }
  const std::size_t columns = found.columns();
  found.gram.assign(columns * columns, 0);
  for (std::size_t d = 0; d < found.draws; ++d) {
    const double* row = &found.rows[d * columns];
    for (std::size_t i = 0; i < columns * columns; ++i) {
      found.gram[i] += row[i / columns] * row[i % columns] / static_cast<double>(found.draws);
    }
  }
  return found;
}

transport::Media middle_media(const MediaAxes& axes, transport::Media nominal) {
  for (const MediaAxis& axis : axes.axes) {
    for (const std::size_t m : axis.media) {
      if (axis.of == Of::absorption) nominal[m].mua_per_mm += axis.mean;
      if (axis.of == Of::scattering) nominal[m].mus_per_mm *= std::exp(axis.mean);
      if (axis.of == Of::reflectance) nominal[m].reflectance *= std::exp(axis.mean);
    }
  }
  return nominal;
}

}  // namespace throughcure::plan
