// Light of every draw from few paths of each: a smooth law over the draws.
#pragma once

#include <cstddef>
#include <vector>

#include "throughcure/base/estimate.hpp"
#include "throughcure/plan/media_axes.hpp"
#include "throughcure/transport/medium.hpp"
#include "throughcure/transport/response.hpp"

namespace throughcure::plan {

/// Each path of a run was walked in the media of one draw. What a draw's own few paths say of its light is far too
/// rough, but the light depends smoothly on the media: its logarithm is fitted as a sum over the axes (and, of a resin,
/// their products), so that every path counts for every draw. What the paths themselves know goes in as prior: the
/// slope along an absorption is minus the mean length in the medium and its curvature half the length's variance; the
/// slope along a metal's reflectance is the mean number of meetings; scattering may go either way, the less the shorter
/// the way in the medium.
/// Equation: a generalized linear model with logarithmic link and variance proportional to the squared mean (McCullagh
/// and Nelder 1989, Generalized Linear Models, chapter 8), with Gaussian priors on the slopes, solved by Fisher
/// scoring. Along an absorption: ln <exp(-d_mua l)> = -d_mua <l> + d_mua^2 var(l) / 2 - ..., the cumulants of the path
/// length under Beer's law.
class LightFit {
 public:
  /// `light` has one walk for each draw, in the order of `draw_of_walk`. `middle` holds the media in the middle of the
  /// draws.
  LightFit(const MediaAxes& axes, const transport::Media& middle, const transport::LightOfWalks& light,
           const std::vector<std::size_t>& draw_of_walk);

  /// Fluence rate for 1 mW of one draw [1/mm2]; 0 where no path brought light.
  [[nodiscard]] double of_draw(std::size_t draw) const;
  /// The same in the media in the middle of all draws, with its standard error.
  [[nodiscard]] const base::Estimate& of_middle() const { return middle_; }
  /// Relative standard error of a draw's light, root mean square over all draws; 0 where there is no light.
  [[nodiscard]] double relative_se_of_draws() const { return relative_se_of_draws_; }
  /// Variance of what one path brings, over the square of its mean; 0 where there is no light.
  [[nodiscard]] double relative_variance_of_path() const { return relative_variance_of_path_; }

 private:
  const MediaAxes* axes_;
  std::vector<double> coefficients_;  ///< by column; empty where there is no light
  base::Estimate middle_;
  double relative_se_of_draws_ = 0;
  double relative_variance_of_path_ = 0;
};

}  // namespace throughcure::plan
