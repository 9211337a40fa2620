// Fluence rate before a tip in empty space: the reverse rays and their response, where the answer is known.
#include <cmath>
#include <cstdint>
#include <numbers>

#include "experiments.hpp"
#include "throughcure/anatomy/scene.hpp"
#include "throughcure/optics/tip_map.hpp"
#include "throughcure/transport/posed_tip.hpp"
#include "throughcure/transport/response.hpp"
#include "throughcure/transport/reverse.hpp"

namespace throughcure::verify {

namespace {

constexpr std::uint64_t kSeed = 20'263;
constexpr std::uint64_t kPaths = 400'000;
constexpr double kCellRadius_mm = 0.02;
/// What the mean over so small a ball differs from its middle, by the value.
constexpr double kBallShare = 1e-4;

}  // namespace

Answer answer(const exchange::TipFluenceQuestion& question, const base::Running& running) {
  const anatomy::Scene scene = anatomy::SceneBuilder("air").scene();
  const transport::Media media = {transport::air()};
  const transport::PosedTip tip = transport::posed(
      optics::tip_source(optics::tip_map(optics::UniformDisc{}, question.tip_diameter_mm), question.shape), {0, 0, 0},
      {0, 0, 1});
  const transport::ReverseRays rays = transport::run_reverse(
      scene, media, {.cell = {{0, 0, question.distance_mm}, kCellRadius_mm}, .paths = kPaths, .seed = kSeed}, running);
  const base::Estimate found = transport::fluence_per_mw(rays, tip);
  const double area = std::numbers::pi / 4 * question.tip_diameter_mm * question.tip_diameter_mm;
  return {.value = found.value * area, .se = found.se * area, .tolerance = kBallShare * found.value * area};
}

}  // namespace throughcure::verify
