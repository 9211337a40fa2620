// From the demo paste's one fact, through the simulated mould, to draws that know it, and what they foretell.
#include "throughcure/cure/calibration.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "throughcure/base/parallel.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/material_file.hpp"
#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::cure {
namespace {

DrawSource demo_paste() {
  return {exchange::reference_cure(),
          exchange::read_material(THROUGHCURE_SOURCE_DIR "/demo/materials/universal-paste-a3.toml"),
          exchange::reference_steel().reflectance};
}

TEST(Calibration, SimulatedScrapesReproduceTheFactAndOrderTheOthers) {
  const base::Running running{.threads = base::hardware_threads()};
  const DrawSource source = demo_paste();
  const MouldEffort effort{.photons = 16'000, .seed = 3};
  const EnsembleSize size{.draws = 256, .least_effective = 64, .most_proposals = 4096};
  const Calibration calibration = calibrate(source, {}, effort, 3, size, running);
  EXPECT_TRUE(calibration.set_aside.empty());
  ASSERT_EQ(calibration.ensemble.draws.size(), 256U);

  const MouldOf mould = mould_of_material(source, usual_test_light(), 0, effort, running);
  const auto depth = [&](double exitance, double seconds) {
    return scraped_depth(calibration.ensemble.draws, mould, {.exitance_mw_cm2 = exitance, .seconds = seconds}, 0.5);
  };
  // The fact: 2.8 mm after 20 s at 1000 mW/cm2, with the 0.15 mm that one reading scatters.
  const ScrapedDepth fact = depth(1000, 20);
  EXPECT_LT(fact.p10, 2.8);
  EXPECT_GT(fact.p90, 2.8);
  EXPECT_NEAR(fact.p50, 2.8, 0.05) << "the ensemble reproduces the depth that was read";
  EXPECT_GT(fact.p90 - fact.p10, 0.05) << "a reading is not the truth";

  // More light or time cures deeper; a tenth of the light is not a tenth of the depth.
  EXPECT_LT(depth(1000, 10).p50, fact.p50);
  EXPECT_GT(depth(1000, 40).p50, fact.p50);
  EXPECT_LT(depth(500, 20).p50, fact.p50);
  EXPECT_GT(depth(100, 20).p50, 0.28);
  // One series in time fixes p mu alone: what the irradiance does stays wider than what the time does.
  const double by_time = depth(1000, 10).p90 - depth(1000, 10).p10;
  const double by_light = depth(250, 20).p90 - depth(250, 20).p10;
  EXPECT_GT(by_light, by_time * 0.8);
}

// The bar of the verdict: draws that are worth far fewer than they are many make its probability a matter of luck.
TEST(Calibration, TheDemosDrawsAreWorthWhatTheyAreMany) {
  const base::Running running{.threads = base::hardware_threads()};
  const Calibration calibration = calibrate(demo_paste(), {}, {.photons = 16'000, .seed = 3}, 3, {}, running);
  EXPECT_GE(calibration.ensemble.effective_sample_size, 400);
}

TEST(Calibration, ALightWithNothingForTheInitiatorIsRefusedInWords) {
  optics::Light red = usual_test_light();
  red.spectrum.wavelength_nm = {600, 620, 640};
  red.spectrum.power_per_nm = {0, 1, 0};
  EXPECT_THROW((void)mould_of_material(demo_paste(), red, 0, {.photons = 1000}, {}), base::InputError);
}

TEST(Bands, CamphorquinoneLivesOnTheBlue) {
  const auto bands = bands_in_material(usual_test_light(), demo_paste().material);
  ASSERT_EQ(bands.size(), 1U);
  EXPECT_NEAR(bands[0].power_share, 1, 1e-9);
  EXPECT_GT(bands[0].initiator_weight, 0.7);
  EXPECT_LE(bands[0].initiator_weight, 1);
}

}  // namespace
}  // namespace throughcure::cure
