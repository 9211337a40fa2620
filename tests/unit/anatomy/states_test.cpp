// The demo's site in all its states, drawn in letters, and what must hold in each.
#include "throughcure/anatomy/states.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/ascii_section.hpp"
#include "support/demo_site.hpp"
#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/base/random.hpp"

namespace throughcure::anatomy {
namespace {

using base::Point;
using tests::demo_site;

/// Mesial (left) to distal through the middle, a letter each half millimetre, from the cusp tips down.
std::vector<std::string> lengthwise(const Scene& scene) {
  return tests::ascii_section(scene, 30, 18,
                              [](int column, int row) { return Point{-6.75 + 0.5 * column, 0.01, 0.25 + 0.5 * row}; });
}

/// Buccal (left) to lingual through the distal box.
std::vector<std::string> across_box(const Scene& scene) {
  return tests::ascii_section(scene, 24, 16,
                              [](int column, int row) { return Point{4.4, -5.75 + 0.5 * column, 0.25 + 0.5 * row}; });
}

TEST(States, TheDemosSiteGoesFromBareAdhesiveToBandOff) {
  std::vector<std::string> names;
  for (const SceneState& state : scene_states(demo_site())) names.push_back(state.name);
  EXPECT_THAT(names, ::testing::ElementsAre("adhesive bare", "increment 1 placed", "increment 2 placed",
                                            "increment 3 placed", "all placed, band off"));
}

TEST(States, TheRestoredMolarLengthwise) {
  const Site site = demo_site();
  const auto picture = lengthwise(build_scene(site, scene_states(site).back()));
  EXPECT_THAT(picture,  // clang-format off
      ::testing::ElementsAre(
    "",
    "",
    "    e                  3  E",
    "   eeeee            33333EEEEE",
    "   eeeeee2222222222222222EEEEE",
    "   eeeeee2222222222222222EEEEE",
    "   eeeddd2222222222222222EEEEE",
    "   eeeddd2222222222222222EEEDD",
    "   eedddddddddddddddd1111EEDDD",
    "   eedddddddddddddddd1111EEDDD",
    "    edddddddddddddddd111  EDDD",
    "    edddddddddddddddd111  EDDD",
    "    edddddddddddddddddde  EDDD",
    "    edddddppppppppddddde  EDDD",
    "gggggdddddppppppppdddddggggDDD",
    "gggggddddddppppppddddddggggDDD",
    "gggggddddddddddddddddddggggDDD",
    "gggggddddddddddddddddddggggDDD")) << ::testing::PrintToString(picture);
  // clang-format on
}

TEST(States, TheRestoredMolarAcrossItsBox) {
  const Site site = demo_site();
  const auto picture = across_box(build_scene(site, scene_states(site).back()));
  EXPECT_THAT(
      picture,  // clang-format off
      ::testing::ElementsAre(
    "",
    "",
    "      ee33333333ee",
    "     eee33333333eee",
    "     eee22222222eee",
    "    eeee22222222eeee",
    "     eee22222222eee",
    "     eee22222222eee",
    "     eee11111111eee",
    "     eee11111111eee",
    "      ee11111111ee",
    "      ee11111111ee",
    "       eeeeeeeeee",
    "        eeeeeeee",
    "         eeeeee",
    "      gggggggggggg")) << ::testing::PrintToString(picture);
  // clang-format on
}

TEST(States, MediaAreTheSameInEveryState) {
  const Site site = demo_site();
  for (const SceneState& state : scene_states(site)) {
    EXPECT_THAT(
        build_scene(site, state).medium_names,
        ::testing::ElementsAre("air", "enamel", "dentine", "pulp", "gingiva", "adhesive", "increment 1", "increment 2",
                               "increment 3", "matrix", "wedge", "dam", "neighbour enamel", "neighbour dentine"));
  }
}

TEST(States, ScenesAreSmall) {  // the photon loop visits every face
  const Site site = demo_site();
  for (const SceneState& state : scene_states(site)) {
    const Scene scene = build_scene(site, state);
    EXPECT_LE(scene.solids.size(), 30U) << state.name;
    EXPECT_LE(scene.faces.size(), 110U) << state.name;
  }
}

/// The medium at a point in each state, in order.
std::vector<std::string> history(const Site& site, const Point& p) {
  std::vector<std::string> media;
  for (const SceneState& state : scene_states(site)) {
    const Scene scene = build_scene(site, state);
    media.push_back(scene.medium_names[scene.medium_at(p)]);
  }
  return media;
}

TEST(States, EachPlaceOfTheBoxFillsWhenItsIncrementComes) {
  using ::testing::ElementsAre;
  const Site site = demo_site();
  EXPECT_THAT(history(site, {4.3, 0, 5}),
              ElementsAre("air", "increment 1", "increment 1", "increment 1", "increment 1"));
  EXPECT_THAT(history(site, {4.3, 0, 3}), ElementsAre("air", "air", "increment 2", "increment 2", "increment 2"));
  EXPECT_THAT(history(site, {4.3, 0, 1.6}), ElementsAre("air", "air", "air", "increment 3", "increment 3"));
  EXPECT_THAT(history(site, {4.3, 0, 5.97}), ElementsAre("adhesive", "adhesive", "adhesive", "adhesive", "adhesive"));
  EXPECT_THAT(history(site, {4.3, 0, 0.5}), ElementsAre("air", "air", "air", "air", "air"));
  EXPECT_THAT(history(site, {5.52, 0, 2.5}), ElementsAre("matrix", "matrix", "matrix", "matrix", "neighbour enamel"));
}

TEST(States, StepsOfObliqueIncrementsMeetWithoutGapOrOverlap) {
  Site site = demo_site();
  site.restoration.increments = {{Layering::kHorizontal, 1},
                                 {Layering::kObliqueBuccal, 3},
                                 {Layering::kObliqueLingual, 3},
                                 {Layering::kObliqueBuccal, 2},
                                 {Layering::kObliqueLingual, 2}};
  ASSERT_THAT(site_problems(site), ::testing::IsEmpty());
  const auto states = scene_states(site);
  base::Stream random(5, 0, 0);
  std::vector<Scene> scenes;
  scenes.reserve(states.size());
  for (const SceneState& state : states) scenes.push_back(build_scene(site, state));
  int resin = 0;
  for (int i = 0; i < 20'000; ++i) {
    const Point p{-3 + 9 * random.uniform(), 4 * random.uniform() - 2, 7 * random.uniform()};
    const std::string last = scenes.back().medium_names[scenes.back().medium_at(p)];
    if (!last.starts_with("increment ")) continue;
    ++resin;
    const auto from = static_cast<std::size_t>(last.back() - '0');
    for (std::size_t s = 0; s < states.size(); ++s) {
      const std::string here = scenes[s].medium_names[scenes[s].medium_at(p)];
      ASSERT_EQ(here, states[s].increments >= from ? last : "air") << states[s].name;
    }
  }
  EXPECT_GT(resin, 1000);
  // The buccal increment is high at the buccal wall, the lingual one fills the other corner.
  EXPECT_THAT(history(site, {4.4, -1.8, 3}), ::testing::Contains("increment 2"));
  EXPECT_THAT(history(site, {4.4, 1.8, 3}), ::testing::Contains("increment 3"));
}

TEST(States, AClearSiteWithoutBandEndsWithItsLastIncrement) {
  Site site = demo_site();
  site.restoration.matrix.reset();
  site.restoration.wedge = false;
  site.restoration.increments = {{Layering::kBulk, 0}};
  ASSERT_THAT(site_problems(site), ::testing::IsEmpty());
  const auto states = scene_states(site);
  ASSERT_EQ(states.size(), 2U);
  EXPECT_EQ(history(site, {4.3, 0, 5.5})[1], "increment 1");
  EXPECT_EQ(history(site, {4.3, 0, 1.6})[1], "increment 1");
}

}  // namespace
}  // namespace throughcure::anatomy
