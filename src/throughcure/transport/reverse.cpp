#include "throughcure/transport/reverse.hpp"

#include <algorithm>
#include <numeric>
#include <string>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

namespace {

constexpr std::uint32_t kReversePurpose = 0x5265'0000;

/// Keeps the account of one path and writes down its pieces in air.
struct Recorder : Unobserved {
  ReverseRays* rays = nullptr;
  const MixtureDensity* mixture = nullptr;  ///< where there are walks beside the nominal one
  std::array<double, kMostMedia> lengths_mm{};
  std::array<std::uint32_t, kMostMedia> collisions{};

  void start_path() {
    lengths_mm.fill(0);
    collisions.fill(0);
  }
  void flight(const Packet& before, double length, anatomy::MediumId id, const Medium& medium, double) {
    if (medium.kind != MediumKind::open) {
      lengths_mm[id] += length;
      return;
    }
    if (length <= 0) return;
    rays->pieces.push_back(
        {{static_cast<float>(before.r.x), static_cast<float>(before.r.y), static_cast<float>(before.r.z)},
         {static_cast<float>(before.u.x), static_cast<float>(before.u.y), static_cast<float>(before.u.z)},
         static_cast<float>(length),
         static_cast<float>(before.w)});
    for (std::size_t m = 0; m < rays->media; ++m) {
      rays->lengths_mm.push_back(static_cast<float>(lengths_mm[m]));
      rays->collisions.push_back(static_cast<std::uint16_t>(std::min(collisions[m], 0xFFFFU)));
    }
    if (mixture != nullptr) {
      const double log_density =
          mixture->log_over_nominal({collisions.data(), rays->media}, {lengths_mm.data(), rays->media});
      rays->log_weights.push_back(static_cast<float>(-log_density));
    }
  }
  void collide(anatomy::MediumId id) { ++collisions[id]; }
};

void append(ReverseRays& all, ReverseRays&& part) {
  const auto offset = static_cast<std::uint32_t>(all.pieces.size());
  all.pieces.insert(all.pieces.end(), part.pieces.begin(), part.pieces.end());
  all.lengths_mm.insert(all.lengths_mm.end(), part.lengths_mm.begin(), part.lengths_mm.end());
  all.collisions.insert(all.collisions.end(), part.collisions.begin(), part.collisions.end());
  all.log_weights.insert(all.log_weights.end(), part.log_weights.begin(), part.log_weights.end());
  for (const std::uint32_t start : part.path_starts) all.path_starts.push_back(start + offset);
  all.path_batch.insert(all.path_batch.end(), part.path_batch.begin(), part.path_batch.end());
  all.lost += part.lost;
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
    Recorder recorder;
    recorder.rays = &part;
    if (weighted) recorder.mixture = &mixture;
    std::uint64_t id = b * per_batch;
    for (const Walk& in : walks) {
      for (std::uint64_t i = 0; i < in.paths; ++i, ++id) {
        if (id % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
        base::Stream random(rays.seed, kReversePurpose + rays.stream, id);
        const auto start = static_cast<std::uint32_t>(part.pieces.size());
        recorder.start_path();
        Packet packet{point_inside(rays.cell, random), isotropic(random.uniform(), random.uniform()), 1, home};
        if (walk(scene, in.media, {}, packet, random, recorder) == Ending::lost) part.lost += packet.w;
        if (part.pieces.size() == start) continue;
        part.path_starts.push_back(start);
        part.path_batch.push_back(static_cast<std::uint32_t>(b));
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
