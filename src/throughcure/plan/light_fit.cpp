#include "throughcure/plan/light_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace throughcure::plan {

namespace {

constexpr int kMostRounds = 30;
constexpr double kDone = 3e-3;        ///< last step of the logarithm of any draw's light; what is left is far less
constexpr double kFurthest = 1;       ///< step of the logarithm of any draw's light in one round
constexpr double kSlopeSpread = 0.2;  ///< of what the paths say of a slope: the middle is not every draw
constexpr double kLeastSpread = 0.003;
constexpr double kCurvatureShare = 0.3;  ///< of what the paths say of a curvature
constexpr double kCurvatureSpread = 0.03;
/// How far scattering may change light once a path is long: by less than the reduced scattering's own change over the
/// thin limit, by as much as absorption does in the deep one, where light falls as exp(-sqrt(3 mua (mua + mus')) z).
constexpr double kThinLimit = 0.2;

using Rows = Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>;

struct Prior {
  Eigen::VectorXd mean;
  Eigen::VectorXd precision;  ///< 0 for the height, of which nothing is known
};

Prior prior_of(const MediaAxes& axes, const transport::Media& middle, const transport::LightOfWalks& light) {
  const auto columns = static_cast<Eigen::Index>(axes.columns());
  Prior prior{Eigen::VectorXd::Zero(columns), Eigen::VectorXd::Zero(columns)};
  Eigen::Index at = 0;
  const auto put = [&](double mean, double sd) {
    prior.mean(++at) = mean;
    prior.precision(at) = 1 / (sd * sd);
  };
  for (std::size_t a = 0; a < axes.axes.size(); ++a) {
    const MediaAxis& axis = axes.axes[a];
    const double account = light.account_mean[a] * axis.spread;
    const transport::Medium& medium = middle[axis.media.front()];
    switch (axis.of) {
      case MediaAxis::Of::absorption:
        put(-account, kSlopeSpread * account + kLeastSpread);
        break;
      case MediaAxis::Of::reflectance:
        put(account, kSlopeSpread * account + kLeastSpread);
        break;
      case MediaAxis::Of::scattering:
        put(0, axis.spread * (medium.mua_per_mm * light.account_mean[a] +
                              kThinLimit *
                                  std::min(1.0, transport::reduced_scattering_per_mm(medium) * light.account_mean[a])) +
                   kLeastSpread);
        break;
    }
  }
  for (const MediaAxes::Product& product : axes.products) {
    const MediaAxis& axis = axes.axes[product.one];
    if (product.one == product.other && axis.of == MediaAxis::Of::absorption) {
      const double curvature = 0.5 * light.account_variance[product.one] * axis.spread * axis.spread;
      put(curvature, kCurvatureShare * curvature + kLeastSpread);
    } else {
      put(0, kCurvatureSpread);
    }
  }
  return prior;
}

/// What the paths of each draw say.
struct Told {
  Eigen::VectorXd light;  ///< by draw
  Eigen::VectorXd paths;  ///< by draw
};

Told told_by(const transport::LightOfWalks& light, const std::vector<std::size_t>& draw_of_walk) {
  const auto draws = static_cast<Eigen::Index>(draw_of_walk.size());
  Told told{Eigen::VectorXd::Zero(draws), Eigen::VectorXd::Zero(draws)};
  for (std::size_t w = 0; w < draw_of_walk.size(); ++w) {
    const auto d = static_cast<Eigen::Index>(draw_of_walk[w]);
    told.light(d) = light.per_mw[w];
    told.paths(d) = static_cast<double>(light.launched[w]);
  }
  return told;
}

}  // namespace

LightFit::LightFit(const MediaAxes& axes, const transport::Media& middle, const transport::LightOfWalks& light,
                   const std::vector<std::size_t>& draw_of_walk)
    : axes_(&axes) {
  const Told told = told_by(light, draw_of_walk);
  const double told_in_all = told.paths.dot(told.light);
  if (!(told_in_all > 0)) return;
  const Rows rows(axes.rows.data(), static_cast<Eigen::Index>(axes.draws), static_cast<Eigen::Index>(axes.columns()));
  const Prior prior = prior_of(axes, middle, light);
  // Draws differ by one path at most: what all of them tell is the gram of the rows.
  const auto columns = static_cast<Eigen::Index>(axes.columns());
  const Eigen::Map<const Eigen::MatrixXd> gram(axes.gram.data(), columns, columns);
  const Eigen::MatrixXd information = gram * told.paths.sum();
  const double looks = std::max<double>(1, static_cast<double>((told.paths.array() > 0).count()) - 1);

  Eigen::VectorXd slopes = prior.mean;
  slopes(0) = std::log(told_in_all / told.paths.dot((rows * slopes).array().exp().matrix()));
  Eigen::VectorXd log_light = rows * slopes;
  Eigen::LDLT<Eigen::MatrixXd> solver;
  for (int round = 0; round < kMostRounds; ++round) {
    const Eigen::VectorXd off = told.light.array() / log_light.array().exp() - 1;
    // Variance of one path over its squared mean, from how the draws' paths scatter about the law.
    relative_variance_of_path_ = std::max(1e-12, off.cwiseAbs2().dot(told.paths) / looks);
    Eigen::MatrixXd weighed = information / relative_variance_of_path_;
    weighed.diagonal() += prior.precision;
    solver.compute(weighed);
    const Eigen::VectorXd pull = rows.transpose() * (told.paths.cwiseProduct(off)) / relative_variance_of_path_ -
                                 prior.precision.cwiseProduct(slopes - prior.mean);
    Eigen::VectorXd step = solver.solve(pull);
    Eigen::VectorXd moves = rows * step;
    const double furthest = moves.cwiseAbs().maxCoeff();
    if (furthest > kFurthest) {
      step *= kFurthest / furthest;
      moves *= kFurthest / furthest;
    }
    slopes += step;
    log_light += moves;
    if (furthest < kDone) break;
  }
  coefficients_.assign(slopes.data(), slopes.data() + slopes.size());

  const std::vector<double> in_middle = axes.middle_row();
  const Eigen::Map<const Eigen::VectorXd> row(in_middle.data(), static_cast<Eigen::Index>(in_middle.size()));
  const double value = std::exp(row.dot(slopes));
  middle_ = {value, value * std::sqrt(row.dot(solver.solve(row)))};
  relative_se_of_draws_ = std::sqrt(solver.solve(gram).trace());
}

double LightFit::of_draw(std::size_t draw) const {
  if (coefficients_.empty()) return 0;
  double log_light = 0;
  for (std::size_t c = 0; c < coefficients_.size(); ++c) {
    log_light += coefficients_[c] * axes_->rows[draw * coefficients_.size() + c];
  }
  return std::exp(log_light);
}

}  // namespace throughcure::plan
