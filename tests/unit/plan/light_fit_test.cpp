// Light of every draw from few paths of each: the law is found again where it is known, and the errors are what is
// stated.
#include "throughcure/plan/light_fit.hpp"

#include <cmath>
#include <numeric>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/random.hpp"

namespace throughcure::plan {
namespace {

constexpr std::size_t kDraws = 256;

/// A tissue whose absorption and a resin whose absorption and scattering differ from draw to draw.
struct Drawn {
  transport::Media nominal{transport::air(),
                           {.n = 1.6, .mua_per_mm = 0.2, .mus_per_mm = 10, .g = 0.9},
                           {.n = 1.5, .mua_per_mm = 0.15, .mus_per_mm = 8, .g = 0.8}};
  std::vector<transport::Media> draws;
  std::vector<std::size_t> order;
  MediaAxes axes;
  transport::Media middle;

  Drawn() {
    for (std::size_t d = 0; d < kDraws; ++d) {
      base::Stream random(31, 0, d);
      transport::Media media = nominal;
      media[1].mua_per_mm += 0.08 * (random.uniform() - 0.5);
      media[2].mua_per_mm *= std::exp(0.8 * (random.uniform() - 0.5));
      media[2].mus_per_mm *= std::exp(0.8 * (random.uniform() - 0.5));
      draws.push_back(media);
      order.push_back(d * 7 % kDraws);
    }
    axes = axes_of(draws, nominal, {false, false, true});
    middle = middle_media(axes, nominal);
  }
};

constexpr double kTissueLength_mm = 2;
constexpr double kResinLength_mm = 5;
constexpr double kSlopeOfScattering = -0.4;

/// A law with Beer's slopes along the absorptions.
double law(const Drawn& drawn, const transport::Media& media) {
  return 3e-4 * std::exp(-kTissueLength_mm * (media[1].mua_per_mm - drawn.nominal[1].mua_per_mm) -
                         kResinLength_mm * (media[2].mua_per_mm - drawn.nominal[2].mua_per_mm) +
                         kSlopeOfScattering * std::log(media[2].mus_per_mm / drawn.nominal[2].mus_per_mm));
}

/// What `paths` paths of each draw would say: most bring nothing, one in ten brings light, exponentially distributed.
transport::LightOfWalks told(const Drawn& drawn, std::size_t paths, std::uint64_t seed) {
  transport::LightOfWalks light;
  for (std::size_t w = 0; w < kDraws; ++w) {
    base::Stream random(seed, 1, w);
    double sum = 0;
    for (std::size_t i = 0; i < paths; ++i) {
      if (random.uniform() < 0.1) sum -= 10 * std::log(random.uniform());
    }
    light.per_mw.push_back(law(drawn, drawn.draws[drawn.order[w]]) * sum / static_cast<double>(paths));
    light.launched.push_back(paths);
  }
  for (const MediaAxis& axis : drawn.axes.axes) {
    light.account_mean.push_back(axis.resin ? kResinLength_mm : kTissueLength_mm);
    light.account_variance.push_back(0);
  }
  return light;
}

TEST(MediaAxes, AreWhatDiffersAndPutMediaTogetherThatDifferTogether) {
  const Drawn drawn;
  ASSERT_EQ(drawn.axes.axes.size(), 3U);
  EXPECT_EQ(drawn.axes.axes[0].media, std::vector<std::size_t>{1});
  EXPECT_FALSE(drawn.axes.axes[0].resin);
  EXPECT_EQ(drawn.axes.axes[2].of, MediaAxis::Of::scattering);
  EXPECT_EQ(drawn.axes.columns(), 1 + 3 + 4U) << "the squares of both absorptions and the resin's two other products";
  for (std::size_t c = 1; c < drawn.axes.columns(); ++c) {
    double mean = 0;
    for (std::size_t d = 0; d < kDraws; ++d) mean += drawn.axes.rows[d * drawn.axes.columns() + c] / kDraws;
    EXPECT_NEAR(mean, 0, 1e-9) << "column " << c;
  }
  // Two increments of one paste share its axes.
  std::vector<transport::Media> draws = drawn.draws;
  transport::Media nominal = drawn.nominal;
  for (transport::Media& media : draws) media.push_back(media[2]);
  nominal.push_back(nominal[2]);
  const MediaAxes two = axes_of(draws, nominal, {false, false, true, true});
  EXPECT_EQ(two.axes.size(), 3U);
  EXPECT_EQ(two.groups[2], (std::vector<std::size_t>{2, 3}));
}

TEST(MediaAxes, OfDrawsThatAreAllAlikeThereAreNone) {
  const Drawn drawn;
  const MediaAxes none = axes_of(std::vector(8, drawn.nominal), drawn.nominal, {false, false, true});
  EXPECT_TRUE(none.axes.empty());
  EXPECT_EQ(none.rows, std::vector<double>(8, 1));
}

TEST(LightFit, FindsALawThatItKnowsOnlyInPart) {
  const Drawn drawn;
  const LightFit fit(drawn.axes, drawn.middle, told(drawn, 40'000, 1), drawn.order);
  for (std::size_t d = 0; d < kDraws; d += 16) {
    EXPECT_NEAR(fit.of_draw(d) / law(drawn, drawn.draws[d]), 1, 5 * fit.relative_se_of_draws()) << "draw " << d;
  }
  EXPECT_LT(fit.relative_se_of_draws(), 0.01);
  // One in ten brings light, exponentially distributed: <x^2> / <x>^2 - 1 = 2 / 0.1 - 1.
  EXPECT_NEAR(fit.relative_variance_of_path(), 19, 3);
}

// The stated error is the scatter over runs: 60 runs, so that its square is known to 1/sqrt(30) = 18 %; 3 of these.
TEST(LightFit, StatesItsError) {
  const Drawn drawn;
  const double truth = law(drawn, drawn.middle);
  double off2 = 0;
  double draws_off2 = 0;
  double stated2 = 0;
  double draws_stated2 = 0;
  constexpr std::size_t runs = 60;
  for (std::size_t run = 0; run < runs; ++run) {
    const LightFit fit(drawn.axes, drawn.middle, told(drawn, 200, 100 + run), drawn.order);
    off2 += std::pow(fit.of_middle().value / truth - 1, 2) / runs;
    stated2 += std::pow(fit.of_middle().se / fit.of_middle().value, 2) / runs;
    for (std::size_t d = 0; d < kDraws; ++d) {
      draws_off2 += std::pow(fit.of_draw(d) / law(drawn, drawn.draws[d]) - 1, 2) / (runs * kDraws);
    }
    draws_stated2 += std::pow(fit.relative_se_of_draws(), 2) / runs;
  }
  EXPECT_NEAR(off2 / stated2, 1, 0.54) << std::sqrt(off2) << " found, " << std::sqrt(stated2) << " stated";
  EXPECT_NEAR(draws_off2 / draws_stated2, 1, 0.54);
  EXPECT_LT(std::sqrt(stated2), 0.05);
}

TEST(LightFit, OfFewPathsStaysNearWhatThePathsKnow) {
  const Drawn drawn;
  const LightFit fit(drawn.axes, drawn.middle, told(drawn, 2, 9), drawn.order);
  for (std::size_t d = 0; d < kDraws; d += 16) {
    EXPECT_NEAR(std::log(fit.of_draw(d) / law(drawn, drawn.draws[d])), 0, 1) << "draw " << d;
  }
}

TEST(LightFit, WithoutLightIsDark) {
  const Drawn drawn;
  transport::LightOfWalks light = told(drawn, 10, 1);
  light.per_mw.assign(kDraws, 0);
  const LightFit fit(drawn.axes, drawn.middle, light, drawn.order);
  EXPECT_EQ(fit.of_draw(3), 0);
  EXPECT_EQ(fit.of_middle().value, 0);
  EXPECT_EQ(fit.relative_se_of_draws(), 0);
}

TEST(LightFit, OneHitAloneIsSharedOutByWhatThePathsKnow) {
  const Drawn drawn;
  transport::LightOfWalks light = told(drawn, 10, 1);
  light.per_mw.assign(kDraws, 0);
  light.per_mw[5] = 1e-3;
  const LightFit fit(drawn.axes, drawn.middle, light, drawn.order);
  EXPECT_GT(fit.of_draw(0), 0);
  EXPECT_GT(fit.of_middle().se, 0.9 * fit.of_middle().value);
  EXPECT_LT(fit.of_middle().value, 1e-4);
}

}  // namespace
}  // namespace throughcure::plan
