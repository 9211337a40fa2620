#include "throughcure/transport/reverse.hpp"

#include <algorithm>
#include <numeric>
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
  all.lengths_mm.insert(all.lengths_mm.end(), part.lengths_mm.begin(), part.lengths_mm.end());
  all.collisions.insert(all.collisions.end(), part.collisions.begin(), part.collisions.end());
  all.log_weights.insert(all.log_weights.end(), part.log_weights.begin(), part.log_weights.end());
  for (const std::uint32_t start : part.path_starts) all.path_starts.push_back(start + offset);
  all.path_batch.insert(all.path_batch.end(), part.path_batch.begin(), part.path_batch.end());
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
  recorder.start_worth = static_cast<double>(recorder.rays->guide->at(packet.r));
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

/// The media that each walk goes through, and how many paths of a batch it walks.
struct Walk {
  Media media;
  std::uint64_t paths = 0;
};

std::vector<Walk> walks_in(const Media& nominal, const ScatteringWalks& walks) {
  std::vector<Walk> all;
  all.reserve(walks.mus_factors.size());
  for (std::size_t j = 0; j < walks.mus_factors.size(); ++j) {
    all.push_back({media_of_walk(nominal, walks, j), walks.per_batch[j]});
  }
  return all;
}

}  // namespace

ReverseRays run_reverse(const anatomy::Scene& scene, const Media& media, const ReverseInput& input,
                        const base::Running& running) {
  if (media.size() > kMostMedia) {
    throw base::Failure("the scene has " + std::to_string(media.size()) + " media; " + std::to_string(kMostMedia) +
                        " can be followed");
  }
  ReverseRays rays;
  rays.cell = input.cell;
  rays.seed = input.seed;
  rays.stream = input.stream;
  rays.n_cell = media[scene.medium_at(input.cell.centre)].n;
  rays.media = media.size();
  const auto batches = static_cast<std::uint32_t>(std::min<std::uint64_t>(input.batches, input.paths));
  rays.guide = input.guide;
  rays.walks = shared_out(media, input.mus_factors, input.walk_shares, input.paths / batches);
  rays.path_starts.push_back(0);
  extend(rays, scene, media, batches, running);
  return rays;
}

void extend(ReverseRays& rays, const anatomy::Scene& scene, const Media& media, std::uint32_t more_batches,
            const base::Running& running) {
  const std::uint32_t home = scene.solid_at(rays.cell.centre);
  const std::vector<Walk> walks = walks_in(media, rays.walks);
  const MixtureDensity mixture(rays.walks);
  const bool weighted = !rays.walks.nominal_alone();
  const std::uint64_t per_batch =
      std::accumulate(rays.walks.per_batch.begin(), rays.walks.per_batch.end(), std::uint64_t{0});

  std::vector<ReverseRays> parts(more_batches);
  base::for_each_batch(more_batches, running, "paths back from the cells", [&](std::size_t k) {
    const std::uint64_t b = rays.batches + k;
    ReverseRays part;
    part.media = rays.media;
    part.guide = rays.guide;
    Recorder plain;
    plain.rays = &part;
    plain.batch = static_cast<std::uint32_t>(b);
    if (weighted) plain.mixture = &mixture;
    GuidedRecorder guided{plain, 1, {}};
    std::uint64_t id = b * per_batch;
    for (const Walk& in : walks) {
      for (std::uint64_t i = 0; i < in.paths; ++i, ++id) {
        if (id % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
        base::Stream random(rays.seed, kReversePurpose + rays.stream, id);
        const Packet start{point_inside(rays.cell, random), isotropic(random.uniform(), random.uniform()), 1, home};
        if (part.guide) {
          part.lost += walk_guided(scene, in.media, start, random, guided);
        } else {
          part.lost += walk_alone(scene, in.media, start, random, plain);
        }
      }
    }
    parts[k] = std::move(part);
  });
  rays.lost *= static_cast<double>(rays.launched);
  rays.path_starts.pop_back();
  for (ReverseRays& part : parts) append(rays, std::move(part));
  rays.path_starts.push_back(static_cast<std::uint32_t>(rays.pieces.size()));
  rays.batches += more_batches;
  rays.launched += per_batch * more_batches;
  rays.lost /= static_cast<double>(rays.launched);
}

}  // namespace throughcure::transport
