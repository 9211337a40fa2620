#include "throughcure/transport/reverse.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/transport/path_recorder.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

namespace {

constexpr std::uint32_t kReversePurpose = 0x5265'0000;

void append(ReverseRays& all, ReverseRays&& part) {
  const auto offset = static_cast<std::uint32_t>(all.pieces.size());
  const auto path_offset = static_cast<std::uint32_t>(all.path_batch.size());
  const auto moved = [](std::uint32_t at, std::uint32_t by) { return at == ReverseRays::kNone ? at : at + by; };
  for (const std::uint32_t after : part.path_after) all.path_after.push_back(moved(after, offset));
  for (const std::uint32_t parent : part.path_parent) all.path_parent.push_back(moved(parent, path_offset));
  all.pieces.insert(all.pieces.end(), part.pieces.begin(), part.pieces.end());
  all.account.insert(all.account.end(), part.account.begin(), part.account.end());
  for (const std::uint32_t start : part.path_starts) all.path_starts.push_back(start + offset);
  all.path_batch.insert(all.path_batch.end(), part.path_batch.begin(), part.path_batch.end());
  all.path_walk.insert(all.path_walk.end(), part.path_walk.begin(), part.path_walk.end());
  all.lost += part.lost;
}

/// Both return the weight that the geometry lost.
double walk_alone(const anatomy::Scene& scene, const Media& media, Packet packet, base::Stream& random,
                  Recorder& recorder) {
  recorder.start_path({});
  return walk(scene, media, {}, packet, random, recorder) == Ending::lost ? packet.w : 0;
}
double walk_guided(const anatomy::Scene& scene, const Media& media, Packet packet, base::Stream& random,
                   GuidedRecorder& recorder) {
  recorder.start_worth = recorder.rays->guide->at(packet.r);
  recorder.start_path({});
  double lost = walk(scene, media, {}, packet, random, recorder) == Ending::lost ? packet.w : 0;
  while (!recorder.branches.empty()) {
    GuidedRecorder::Branch branch = recorder.branches.back();
    recorder.branches.pop_back();
    recorder.start_path(branch.track);
    if (walk(scene, media, {}, branch.packet, random, recorder, true) == Ending::lost) lost += branch.packet.w;
  }
  return lost;
}

void refuse_unlike_walks(const anatomy::Scene& scene, std::span<const Media> walks, const Cell& cell) {
  const anatomy::MediumId home = scene.medium_at(cell.centre);
  for (const Media& media : walks) {
    if (media.size() > kMostMedia) {
      throw base::Failure("the scene has " + std::to_string(media.size()) + " media; " + std::to_string(kMostMedia) +
                          " can be followed");
    }
    if (media.size() != walks.front().size() || media[home].n != walks.front()[home].n) {
      throw base::Failure(
          "the walks differ in their number of media or in the index of refraction about the cell; give all the same");
    }
  }
}

}  // namespace

ReverseRays run_reverse(const anatomy::Scene& scene, const Media& media, const ReverseInput& input,
                        const base::Running& running) {
  return run_reverse(scene, std::span(&media, 1), input, running);
}

ReverseRays run_reverse(const anatomy::Scene& scene, std::span<const Media> walks, const ReverseInput& input,
                        const base::Running& running) {
  refuse_unlike_walks(scene, walks, input.cell);
  ReverseRays rays;
  rays.cell = input.cell;
  rays.seed = input.seed;
  rays.stream = input.stream;
  rays.walks = walks.size();
  rays.n_cell = walks.front()[scene.medium_at(input.cell.centre)].n;
  rays.media = walks.front().size();
  const auto batches = static_cast<std::uint32_t>(std::min<std::uint64_t>(input.batches, input.paths));
  rays.guide = input.guide;
  rays.per_batch = input.paths / batches;
  rays.path_starts.push_back(0);
  extend(rays, scene, walks, batches, running);
  return rays;
}

void extend(ReverseRays& rays, const anatomy::Scene& scene, const Media& media, std::uint32_t more_batches,
            const base::Running& running) {
  extend(rays, scene, std::span(&media, 1), more_batches, running);
}

void extend(ReverseRays& rays, const anatomy::Scene& scene, std::span<const Media> walks, std::uint32_t more_batches,
            const base::Running& running) {
  const std::uint32_t home = scene.solid_at(rays.cell.centre);
  std::vector<ReverseRays> parts(more_batches);
  base::for_each_batch(more_batches, running, "paths back from the cells", [&](std::size_t k) {
    const std::uint64_t b = rays.batches + k;
    ReverseRays part;
    part.media = rays.media;
    part.guide = rays.guide;
    Recorder plain;
    plain.rays = &part;
    plain.batch = static_cast<std::uint32_t>(b);
    GuidedRecorder guided{plain, 1, {}};
    for (std::uint64_t id = b * rays.per_batch; id < (b + 1) * rays.per_batch; ++id) {
      if (id % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      const auto walk = static_cast<std::uint32_t>(id % walks.size());
      base::Stream random(rays.seed, kReversePurpose + rays.stream, id);
      const Packet start{point_inside(rays.cell, random), isotropic(random.uniform(), random.uniform()), 1, home};
      if (part.guide) {
        guided.walk = walk;
        part.lost += walk_guided(scene, walks[walk], start, random, guided);
      } else {
        plain.walk = walk;
        part.lost += walk_alone(scene, walks[walk], start, random, plain);
      }
    }
    parts[k] = std::move(part);
  });
  rays.lost *= static_cast<double>(rays.launched);
  rays.path_starts.pop_back();
  for (ReverseRays& part : parts) append(rays, std::move(part));
  rays.path_starts.push_back(static_cast<std::uint32_t>(rays.pieces.size()));
  rays.batches += more_batches;
  rays.launched += rays.per_batch * more_batches;
  rays.lost /= static_cast<double>(rays.launched);
}

}  // namespace throughcure::transport
