#include "throughcure/transport/reverse.hpp"

#include <algorithm>
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
  }
  void collide(anatomy::MediumId id) { ++collisions[id]; }
};

void append(ReverseRays& all, ReverseRays&& part) {
  const auto offset = static_cast<std::uint32_t>(all.pieces.size());
  all.pieces.insert(all.pieces.end(), part.pieces.begin(), part.pieces.end());
  all.lengths_mm.insert(all.lengths_mm.end(), part.lengths_mm.begin(), part.lengths_mm.end());
  all.collisions.insert(all.collisions.end(), part.collisions.begin(), part.collisions.end());
  for (const std::uint32_t start : part.path_starts) all.path_starts.push_back(start + offset);
  all.path_batch.insert(all.path_batch.end(), part.path_batch.begin(), part.path_batch.end());
  all.lost += part.lost;
}

}  // namespace

ReverseRays run_reverse(const anatomy::Scene& scene, const Media& media, const ReverseInput& input,
                        const base::Running& running) {
  if (media.size() > kMostMedia) {
    throw base::Failure("the scene has " + std::to_string(media.size()) + " media; " + std::to_string(kMostMedia) +
                        " can be followed");
  }
  const std::uint32_t home = scene.solid_at(input.cell.centre);
  ReverseRays rays;
  rays.cell = input.cell;
  rays.n_cell = media[scene.medium_of(home)].n;
  rays.media = media.size();
  rays.batches = static_cast<std::uint32_t>(std::min<std::uint64_t>(input.batches, input.paths));
  const std::uint64_t per_batch = input.paths / rays.batches;
  rays.launched = per_batch * rays.batches;

  std::vector<ReverseRays> parts(rays.batches);
  base::for_each_batch(rays.batches, running, "paths back from the cells", [&](std::size_t b) {
    ReverseRays part;
    part.media = rays.media;
    Recorder recorder;
    recorder.rays = &part;
    for (std::uint64_t i = 0; i < per_batch; ++i) {
      if (i % 256 == 0 && running.stop.stop_requested()) throw base::Interrupted();
      base::Stream random(input.seed, kReversePurpose + input.stream, b * per_batch + i);
      const auto start = static_cast<std::uint32_t>(part.pieces.size());
      recorder.start_path();
      Packet packet{point_inside(input.cell, random), isotropic(random.uniform(), random.uniform()), 1, home};
      if (walk(scene, media, {}, packet, random, recorder) == Ending::lost) part.lost += packet.w;
      if (part.pieces.size() == start) continue;
      part.path_starts.push_back(start);
      part.path_batch.push_back(static_cast<std::uint32_t>(b));
    }
    parts[b] = std::move(part);
  });
  for (ReverseRays& part : parts) append(rays, std::move(part));
  rays.path_starts.push_back(static_cast<std::uint32_t>(rays.pieces.size()));
  rays.lost /= static_cast<double>(rays.launched);
  return rays;
}

}  // namespace throughcure::transport
