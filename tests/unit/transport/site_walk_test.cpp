// Photons in the scenes of a real site: none is lost, and what starts comes to an end that is accounted for.
#include <gtest/gtest.h>

#include "support/demo_site.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/anatomy/targets.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {
namespace {

/// Plausible optics by name; the test is of the geometry.
Media media_of(const anatomy::Scene& scene) {
  Media media;
  for (const std::string& name : scene.medium_names) {
    if (name == "air") {
      media.push_back(air());
    } else if (name == "matrix") {
      media.push_back({.kind = MediumKind::metal, .reflectance = 0.5, .specular = 0.7});
    } else if (name.ends_with("enamel")) {
      media.push_back({.n = 1.63, .mua_per_mm = 0.08, .mus_per_mm = 15, .g = 0.9});
    } else if (name == "gingiva" || name == "pulp") {
      media.push_back({.n = 1.39, .mua_per_mm = 1, .mus_per_mm = 30, .g = 0.7});
    } else {
      media.push_back({.n = 1.54, .mua_per_mm = 0.2, .mus_per_mm = 14, .g = 0.93});
    }
  }
  return media;
}

struct Ledger : Unobserved {
  double absorbed = 0;
  double metal_took = 0;
  double won = 0;
  void flight(const Packet& before, double, anatomy::MediumId, const Medium&, double w_after) {
    absorbed += before.w - w_after;
  }
  void metal(const Packet&, anatomy::MediumId, double w) { metal_took += w; }
  void roulette(double change) { won += change; }
};

TEST(SiteWalk, FromEveryTargetInEveryStateNoPhotonIsLost) {
  const anatomy::Site site = tests::demo_site();
  const auto targets = anatomy::targets(site);
  std::uint64_t id = 0;
  for (const anatomy::SceneState& state : anatomy::scene_states(site)) {
    const anatomy::Scene scene = build_scene(site, state);
    const Media media = media_of(scene);
    for (const anatomy::Target& target : targets) {
      Ledger ledger;
      double left = 0;
      int lost = 0;
      int wrong = 0;
      constexpr int kPhotons = 60;
      for (int i = 0; i < kPhotons; ++i) {
        base::Stream random(31, 0, id++);
        Packet packet{target.centre, isotropic(random.uniform(), random.uniform()), 1, scene.solid_at(target.centre)};
        lost += static_cast<int>(walk(scene, media, {}, packet, random, ledger) == Ending::lost);
        left += packet.w;
        // Whatever the walk says it is in, the geometry says too.
        wrong += static_cast<int>(packet.w > 0 && packet.solid < scene.solids.size() &&
                                  scene.medium_of(packet.solid) != scene.medium_at(packet.r));
      }
      EXPECT_EQ(lost, 0) << state.name << ", " << target.name;
      EXPECT_EQ(wrong, 0) << state.name << ", " << target.name;
      EXPECT_NEAR(ledger.absorbed + ledger.metal_took + left - ledger.won, kPhotons, 1e-9);
    }
  }
}

}  // namespace
}  // namespace throughcure::transport
