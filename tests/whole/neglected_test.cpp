// How much it is that the model leaves out (docs/physics.md, 4.5): light that the tip's own face sends back, and what
// an exposure changes in the paste while it lasts. Light followed forward through the demo's molar and through the
// scrape test's mould, for what is left out there too goes into k_ref. `./check --slow`.
#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "support/demo_case.hpp"
#include "throughcure/anatomy/mould.hpp"
#include "throughcure/cure/bands_in_material.hpp"
#include "throughcure/cure/hardness.hpp"
#include "throughcure/cure/reference_piece.hpp"
#include "throughcure/cure/scrape.hpp"
#include "throughcure/cure/usual_test_light.hpp"
#include "throughcure/plan/aim.hpp"
#include "throughcure/plan/fluence.hpp"
#include "throughcure/plan/judge.hpp"
#include "throughcure/plan/pose.hpp"
#include "throughcure/transport/forward.hpp"
#include "whole/changing_paste.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

using anatomy::MediumId;

constexpr double kSlice_mm = 0.5;
constexpr double kSeconds = 20;  ///< of a press
constexpr double kMould_mm = 10;
constexpr double kLength_mm = 5.6;  ///< the demo's scrape test: half of it is 2.8 mm
constexpr double kExitance_mw_cm2 = 1000;
constexpr double kRoom_c = 23;
constexpr double kMouth_c = 37;
constexpr std::uint64_t kInMould = 500'000;  ///< photons of a run
constexpr std::uint64_t kInMolar = 500'000;
constexpr std::array<double, 2> kSeries_s = {10, 40};  ///< a scrape test's series in time

bool slow() {
  // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
  return std::getenv("THROUGHCURE_SLOW") != nullptr;
}

/// How far a factor may lie from where a run of many photons had it: photons of these runs (about 2 % at a target, 1 %
/// of the mould's light at the scraped length, which counts twofold as light), above 3 standard errors.
constexpr double kNoise = 0.08;

std::size_t blue() { return demo_ground().bands.size() - 1; }
transport::Medium paste() {
  const plan::Ground& ground = demo_ground();
  return ground.middle[blue()][ground.scenes[1].medium_at(ground.targets.front().centre)];
}

double middle(std::vector<double> of_draws) { return cure::quantile(std::move(of_draws), 0.5); }

/// The law in the middle of the draws.
cure::RateLaw middle_law() {
  const plan::Ground& ground = demo_ground();
  cure::RateLaw law = cure::nominal_law(ground.priors, ground.c.materials.front().material_class);
  std::vector<double> p;
  std::vector<double> k;
  for (const plan::CaseDraw& draw : ground.draws) {
    p.push_back(draw.materials.front().law.p);
    k.push_back(draw.materials.front().law.k_ref_per_s);
  }
  law.p = middle(p);
  law.k_ref_per_s = middle(k);
  return law;
}

base::Running everywhere() { return {.threads = base::hardware_threads()}; }

/// A tip and what it shines into. With `face` the tip is a body in the scene that sends back that share of what meets
/// it, by Lambert's law; without, it swallows it.
struct Lit {
  anatomy::Scene scene;
  transport::Media media;
  transport::PosedTip tip;
  std::optional<double> face{};
};

void insert_tip(Lit& lit) {
  const auto medium = static_cast<MediumId>(lit.scene.medium_names.size());
  lit.scene.medium_names.emplace_back("tip");
  lit.media.push_back({.kind = transport::MediumKind::metal, .reflectance = *lit.face});
  constexpr double body_mm = 5;
  insert(lit.scene, 0, medium,
         {anatomy::half_space(lit.tip.centre, lit.tip.axis),
          anatomy::half_space(lit.tip.centre - lit.tip.axis * body_mm, -lit.tip.axis),
          anatomy::cylinder(lit.tip.centre, lit.tip.axis, lit.tip.source.map.radius_mm)});
  lit.tip.centre = lit.tip.centre + lit.tip.axis * 1e-6;  // light leaves just before the face
}

/// Fluence of the cells per mW.
std::vector<base::Estimate> follow(Lit lit, const std::vector<transport::Cell>& cells, std::uint64_t photons,
                                   std::uint64_t seed) {
  const transport::ForwardInput input{.cells = cells, .photons = photons, .seed = seed};
  if (!lit.face) return transport::run_forward(lit.scene, lit.media, lit.tip, input, everywhere()).fluence_per_mw;
  insert_tip(lit);
  const transport::Starter start = [&](base::Stream& random) { return transport::leaving(lit.tip, random); };
  return transport::run_forward(lit.scene, lit.media, start, input, everywhere()).fluence_per_mw;
}

/// Middles of the slices from one depth to another [mm].
std::vector<double> middles(double from_mm, double to_mm) {
  const auto slices = static_cast<std::size_t>(std::lround((to_mm - from_mm) / kSlice_mm));
  std::vector<double> z_mm;
  z_mm.reserve(slices);
  for (std::size_t k = 0; k < slices; ++k) z_mm.push_back(from_mm + (static_cast<double>(k) + 0.5) * kSlice_mm);
  return z_mm;
}

/// Light of a mould's axis [mW/cm2] at each half millimetre.
struct InMould {
  std::vector<double> z_mm;
  std::vector<double> phi;
  Eigen::Vector3d parabola;  ///< ln phi = c0 + c1 z + c2 z^2 by least squares, over the depths that a scrape finds

  InMould() = default;
  InMould(std::vector<double> depths_mm, std::vector<double> light)
      : z_mm(std::move(depths_mm)), phi(std::move(light)) {
    constexpr double from_mm = 3;
    constexpr double to_mm = 8.5;
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    for (std::size_t i = 0; i < z_mm.size(); ++i) {
      if (z_mm[i] < from_mm || z_mm[i] > to_mm) continue;
      const Eigen::Vector3d row(1, z_mm[i], z_mm[i] * z_mm[i]);
      normal += row * row.transpose();
      right += row * std::log(phi[i]);
    }
    parabola = normal.ldlt().solve(right);
  }
  [[nodiscard]] double ln_phi(double at_mm) const { return parabola[0] + at_mm * (parabola[1] + at_mm * parabola[2]); }
};

/// The scrape test's mould and what looks at its light.
class Mould {
 public:
  explicit Mould(const transport::Medium& resin)
      : lit{.scene = anatomy::iso4049_mould({.height_mm = kMould_mm}),
            .media = {transport::air(),
                      resin,
                      {.kind = transport::MediumKind::metal, .reflectance = demo_ground().c.mould_reflectance.value},
                      {.kind = transport::MediumKind::metal, .reflectance = 0.8}},
            .tip = transport::posed(optics::tip_source(cure::usual_test_light()), {0, 0, -0.01}, {0, 0, 1})} {
    z_mm = middles(0, kMould_mm);
    for (const double z : z_mm) cells_.push_back({{0, 0, z}, std::min(0.5, z)});
  }
  [[nodiscard]] InMould light(std::uint64_t seed) const {
    const double radius_cm = lit.tip.source.map.radius_mm / 10;
    const double power_mw = kExitance_mw_cm2 * std::numbers::pi * radius_cm * radius_cm;
    std::vector<double> phi;
    for (const base::Estimate& e : follow(lit, cells_, kInMould, seed)) {
      phi.push_back(std::max(e.value, 1e-12) * 100 * power_mw);
    }
    return {z_mm, phi};
  }

  Lit lit;
  std::vector<double> z_mm;

 private:
  std::vector<transport::Cell> cells_;
};

/// Length scraped after so many seconds of a light whose mean over them is known.
double length_mm(const cure::RateLaw& law, const InMould& light, double seconds) {
  const double needed = cure::progress_to_reach(law, kRoom_c, law.dark.gel);
  double low = 2;
  double high = kMould_mm - 1;
  for (int i = 0; i < 40; ++i) {
    const double z = (low + high) / 2;
    (cure::progress(law, kRoom_c, std::exp(light.ln_phi(z)), seconds) > needed ? low : high) = z;
  }
  return (low + high) / 2;
}

/// The law whose k_ref lets the scrape test find its length in this light.
cure::RateLaw found_in(cure::RateLaw law, const InMould& light) {
  law.k_ref_per_s *= cure::progress_to_reach(law, kRoom_c, law.dark.gel) /
                     cure::progress(law, kRoom_c, std::exp(light.ln_phi(kLength_mm)), kSeconds);
  return law;
}

/// What a scrape test and a series in time say: the law, and p times the attenuation that the series sees.
struct Found {
  cure::RateLaw law;
  double slope_per_mm = 0;
};
Found found(const InMould& at_20_s, const InMould& at_10_s, const InMould& at_40_s) {
  const cure::RateLaw law = found_in(middle_law(), at_20_s);
  return {law, std::log(kSeries_s[1] / kSeries_s[0]) /
                   (length_mm(law, at_40_s, kSeries_s[1]) - length_mm(law, at_10_s, kSeries_s[0]))};
}

/// A paste that does not change, under a tip with such a face.
Found found_unchanged(const transport::Medium& resin, std::optional<double> face = {}) {
  Mould mould(resin);
  mould.lit.face = face;
  const InMould light = mould.light(1);
  return found(light, light, light);
}

std::vector<Slice> slices_of(const std::vector<double>& z_mm, const transport::Medium& fresh) {
  std::vector<Slice> slices;
  slices.reserve(z_mm.size());
  for (const double z : z_mm) slices.push_back({z, fresh.mua_per_mm, fresh.mus_per_mm, {}});
  return slices;
}

constexpr std::uint64_t kTurns = 3;  ///< in which light and paste are found

/// A paste that changes.
Found found_changing(const transport::Medium& fresh, const Change& change) {
  Mould mould(fresh);
  const std::vector<Slice> slices = slices_of(mould.z_mm, fresh);
  SlicedPaste paste = cut(mould.lit.scene, mould.lit.media, "resin", slices, kSlice_mm);
  const auto light_now = [&](std::uint64_t seed) {
    mould.lit.scene = paste.scene;
    mould.lit.media = paste.media;
    return mould.light(seed);
  };
  const std::array<double, 3> seconds = {kSeconds, kSeries_s[0], kSeries_s[1]};
  std::array<InMould, 3> light;
  light.fill(light_now(1));
  for (std::uint64_t turn = 1; turn < kTurns; ++turn) {
    const cure::RateLaw law = found_in(middle_law(), light[0]);
    const cure::ConversionCurve curve(law, kRoom_c);
    for (std::size_t i = 0; i < light.size(); ++i) {
      fill(paste, slices, light[i].phi, seconds[i], change, law, curve, kRoom_c);
      light[i] = light_now(1);  // the same photons' numbers: a part of the noise is the same too
    }
  }
  return found(light[0], light[1], light[2]);
}

/// What the targets of the molar get over the upright schedule: the sum over the presses of what the rate law makes of
/// their light. Without a change the paste stays as given.
std::vector<double> progress_in_molar(const transport::Medium& fresh, const Change* change, const cure::RateLaw& law,
                                      std::optional<double> face, std::uint64_t seed) {
  const plan::Ground& ground = demo_ground();
  constexpr double deep_mm = 6;
  const double floor_z = ground.targets.front().centre.z + ground.targets.front().radius_mm;
  const std::vector<double> z_mm = middles(floor_z - deep_mm, floor_z);
  std::vector<Slice> slices = slices_of(z_mm, fresh);
  std::vector<transport::Cell> cells;
  cells.reserve(ground.targets.size() + z_mm.size());
  for (const anatomy::Target& target : ground.targets) {
    cells.push_back({target.centre, std::max(0.2, target.radius_mm)});
  }
  const std::size_t places = cells.size();
  for (const double z : z_mm) cells.push_back({{ground.targets.front().centre.x, 0, z}, kSlice_mm / 2});

  const double mw_cm2 = 100 * plan::nominal_power_mw(ground.c) * ground.bands[blue()].power_share;
  const cure::ConversionCurve curve(law, kMouth_c);
  std::vector<double> sum(places, 0);
  std::vector<double> fluence_j_cm2(places, 0);
  for (std::size_t state = 1; state <= 3; ++state) {
    SlicedPaste paste = cut(ground.scenes[state], ground.middle[blue()], "increment", slices, kSlice_mm);
    const std::size_t empty = slices.size() - slices.size() * state / 3;  // slices above what is placed
    std::vector<double> phi(slices.size(), 0);
    std::vector<base::Estimate> light;
    for (std::uint64_t turn = 0; turn < (change != nullptr ? kTurns : 1); ++turn) {
      if (turn > 0) fill(paste, slices, phi, kSeconds, *change, law, curve, kMouth_c);
      light = follow({.scene = paste.scene,
                      .media = paste.media,
                      .tip = plan::posed_tip(ground.scenes[state], ground.tip, plan::held(over_floor())),
                      .face = face},
                     cells, turn + 1 < kTurns && change != nullptr ? kInMould : kInMolar, seed + 10 * state + turn);
      for (std::size_t k = empty; k < slices.size(); ++k) phi[k] = light[places + k].value * mw_cm2;
    }
    for (std::size_t p = 0; p < places; ++p) {
      if (ground.targets[p].increment >= state) continue;
      const double lit = light[p].value * mw_cm2;
      sum[p] += cure::progress(law, kMouth_c, lit, kSeconds, fluence_j_cm2[p]);
      fluence_j_cm2[p] += lit * kSeconds * 1e-3;
    }
    pass(slices, phi, kSeconds, law, curve, kMouth_c);
  }
  return sum;
}

/// The progress that the criterion asks for, of a piece of this paste lit as the reference piece.
double asked_for(const transport::Medium& resin, const cure::RateLaw& law) {
  const plan::Ground& ground = demo_ground();
  const double reduced = resin.mus_per_mm * (1 - resin.g);
  const cure::ResinGrid grid{.mua_per_mm = {0.5 * resin.mua_per_mm, resin.mua_per_mm, 2 * resin.mua_per_mm},
                             .reduced_scattering_per_mm = {0.99 * reduced, 1.01 * reduced},
                             .n = resin.n,
                             .g = resin.g};
  const cure::ResinTable table = cure::simulate_reference({}, grid, ground.c.light.shape, 40'000, 1, everywhere());
  const cure::ConversionCurve curve(law, kMouth_c);
  const cure::ReferenceLight light =
      cure::reference_light(ground.priors.criterion, cure::value_at(table, resin.mua_per_mm, reduced));
  const double least =
      cure::reference_conversion(law, curve, kMouth_c, light) *
      cure::conversion_ratio_for(ground.priors.criterion.hardness_ratio.value, ground.priors.hardness.slope.value);
  // The light must leave so much that the dark does the rest.
  double low = 0;
  double high = curve.limit();
  for (int i = 0; i < 60; ++i) {
    const double x = (low + high) / 2;
    (cure::after_dark(law.dark, x, cure::kDay_s) < least ? low : high) = x;
  }
  return curve.inverse((low + high) / 2);
}

/// The molar as the model has it.
struct AsModelled {
  Found found;
  std::vector<double> progress;
  double asked = 0;
};
const AsModelled& as_modelled() {
  static const AsModelled modelled = [] {
    const Found found = found_unchanged(paste());
    return AsModelled{found, progress_in_molar(paste(), nullptr, found.law, {}, 1000), asked_for(paste(), found.law)};
  }();
  return modelled;
}

/// What is left out, as if the light at each target were this much stronger.
struct AsLight {
  std::vector<double> factor;  ///< by target
  double floor = 1;            ///< geometric mean over the gingival floor
  double rest = 1;             ///< over the other deciding targets
};
AsLight as_light(const std::vector<double>& progress, double asked, const cure::RateLaw& law) {
  const plan::Ground& ground = demo_ground();
  AsLight found;
  std::array<double, 2> ln_sum{};
  std::array<double, 2> count{};
  for (std::size_t p = 0; p < progress.size(); ++p) {
    const double ln_factor = std::log(progress[p] / as_modelled().progress[p] * as_modelled().asked / asked) / law.p;
    found.factor.push_back(std::exp(ln_factor));
    if (!plan::decides(ground.targets[p])) continue;
    const std::size_t group = ground.targets[p].name.starts_with("gingival floor") ? 0 : 1;
    ln_sum.at(group) += ln_factor;
    count.at(group) += 1;
  }
  found.floor = std::exp(ln_sum[0] / count[0]);
  found.rest = std::exp(ln_sum[1] / count[1]);
  return found;
}

/// P of the upright schedule with the light at each target so much stronger.
double probability_with(const std::vector<double>& factor) {
  const plan::Ground& ground = demo_ground();
  static const std::vector<plan::Exposure> schedule = each_increment(over_floor(), kSeconds);
  static const plan::Fluence fluence = plan::fluence_of(ground, demo_rays(), schedule, {}, everywhere());
  std::vector<bool> deciding;
  deciding.reserve(ground.targets.size());
  for (const anatomy::Target& target : ground.targets) deciding.push_back(plan::decides(target));
  return plan::probability_of_all(plan::cure_places(ground, demo_rays(), schedule, fluence, factor), deciding,
                                  ground.priors.criterion.hardness_ratio.value);
}

void tell(const std::string& what, const AsLight& light) {
  std::cout << what << ": as if the gingival floor had " << 100 * (light.floor - 1) << " % more light, the rest "
            << 100 * (light.rest - 1) << " %; P " << probability_with({}) << " -> " << probability_with(light.factor)
            << "\n"
            << std::flush;
}

// Shares sent back: 5 % is Fresnel's at a bare face of glass or polymer (n 1.5: 4 %); what comes back from inside a
// light is not published, and 30 % is a guess at the most (from memory).
TEST(Neglected, LightThatTheTipSendsBack) {
  if (!slow()) GTEST_SKIP() << "only in ./check --slow";
  const Found black = found_unchanged(paste(), 0);
  const AsLight none =
      as_light(progress_in_molar(paste(), nullptr, black.law, 0, 2000), asked_for(paste(), black.law), black.law);
  tell("a black face", none);
  EXPECT_NEAR(none.floor, 1, kNoise) << "a tip in the scene that sends nothing back is the tip that swallows";
  EXPECT_NEAR(none.rest, 1, kNoise);
  const Found shining = found_unchanged(paste(), 0.3);
  const AsLight some = as_light(progress_in_molar(paste(), nullptr, shining.law, 0.3, 3000),
                                asked_for(paste(), shining.law), shining.law);
  tell("a face that sends back 30 %", some);
  EXPECT_NEAR(some.floor, 0.97, 0.05 + kNoise);
  EXPECT_NEAR(some.rest, 0.97, 0.05 + kNoise);
}

struct OfChange {
  std::string name;
  Change change{};
  bool bleaches = false;
  /// Fresh paste over the draws' (absorption where it bleaches, else scattering).
  double fresh = 1;
  /// Whether a scrape test's series in time cannot tell it from a paste that stays as the draws have it: `fresh` was
  /// found so once, with a million photons in each mould.
  bool same_series = true;
  double floor = 1;  ///< light that it is worth at the gingival floor, and at the other deciding targets,
  double rest = 1;   ///< as docs/physics.md, 4.5, says
};
std::ostream& operator<<(std::ostream& out, const OfChange& of) { return out << of.name; }

class NeglectedChange : public testing::TestWithParam<OfChange> {};

TEST_P(NeglectedChange, OfThePasteWhileItCures) {
  if (!slow()) GTEST_SKIP() << "only in ./check --slow";
  const OfChange& of = GetParam();
  Change change = of.change;
  const plan::Ground& ground = demo_ground();
  if (of.bleaches) {
    change.initiators_per_mm =
        cure::resin_in_band(ground.c.light, ground.c.materials.front(), ground.bands[blue()].window).initiators_per_mm;
  }
  transport::Medium fresh = paste();
  (of.bleaches ? fresh.mua_per_mm : fresh.mus_per_mm) *= of.fresh;
  const Found now = found_changing(fresh, change);
  const AsLight light =
      as_light(progress_in_molar(fresh, &change, now.law, {}, 2000), asked_for(fresh, now.law), now.law);
  std::cout << "p times attenuation of the series " << now.slope_per_mm << " per mm, unchanged "
            << as_modelled().found.slope_per_mm << "\n";
  tell(of.name, light);
  if (of.same_series) {
    EXPECT_NEAR(now.slope_per_mm, as_modelled().found.slope_per_mm, 0.05 * now.slope_per_mm);
  }
  EXPECT_NEAR(light.floor, of.floor, kNoise);
  EXPECT_NEAR(light.rest, of.rest, kNoise);
}

INSTANTIATE_TEST_SUITE_P(
    Ways, NeglectedChange,
    testing::Values(
        OfChange{.name = "bleaching", .bleaches = true, .fresh = 1.12, .floor = 1.16, .rest = 1.22},
        OfChange{.name = "clearing", .change = {.vanishing = 0.25}, .fresh = 1.28, .floor = 1.06, .rest = 1.07},
        OfChange{.name = "clouding", .change = {.growing = 0.25}, .fresh = 0.83, .floor = 0.8, .rest = 0.83},
        OfChange{.name = "clearing_from_the_draws_paste",
                 .change = {.vanishing = 0.25},
                 .same_series = false,
                 .floor = 0.77,
                 .rest = 0.70}),
    [](const testing::TestParamInfo<OfChange>& tested) { return tested.param.name; });

}  // namespace
}  // namespace throughcure::tests
