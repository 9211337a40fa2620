// What a walk back from a cell writes down of its paths, plain or guided.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "throughcure/transport/reverse.hpp"
#include "throughcure/transport/walk.hpp"

namespace throughcure::transport {

/// What a path has behind it.
struct Track {
  std::array<double, kMostMedia> account{};  ///< by medium: length [mm], in metal the number of meetings
  std::uint32_t path = ReverseRays::kNone;   ///< that wrote its last piece
  std::uint32_t piece = ReverseRays::kNone;  ///< its last piece
};

/// Keeps the account of one path and writes down its pieces in air.
struct Recorder : Unobserved {
  ReverseRays* rays = nullptr;
  std::uint32_t batch = 0;
  std::uint32_t walk = 0;
  Track track;
  bool writing = false;   ///< this path has a piece
  bool in_air = false;    ///< nothing but air since its last piece began
  base::Direction way{};  ///< of its last piece

  void start_path(const Track& behind) {
    track = behind;
    writing = false;
    in_air = false;
  }
  void flight(const Packet& before, double length, anatomy::MediumId id, const Medium& medium, double) {
    if (medium.kind != MediumKind::open) {
      track.account[id] += length;
      in_air = false;
      return;
    }
    if (length <= 0) return;
    // From one solid of air into the next a path goes straight on.
    if (in_air && before.u == way) {
      rays->pieces.back().length_mm += static_cast<float>(length);
      return;
    }
    in_air = true;
    way = before.u;
    if (!writing) begin_writing();
    track.piece = static_cast<std::uint32_t>(rays->pieces.size());
    rays->pieces.push_back(
        {{static_cast<float>(before.r.x), static_cast<float>(before.r.y), static_cast<float>(before.r.z)},
         {static_cast<float>(before.u.x), static_cast<float>(before.u.y), static_cast<float>(before.u.z)},
         static_cast<float>(length),
         static_cast<float>(before.w)});
    for (std::size_t m = 0; m < rays->media; ++m) rays->account.push_back(static_cast<float>(track.account[m]));
  }
  void metal(const Packet&, anatomy::MediumId id, double) { track.account[id] += 1; }

 private:
  void begin_writing() {
    writing = true;
    const auto path = static_cast<std::uint32_t>(rays->path_starts.size());
    rays->path_starts.push_back(static_cast<std::uint32_t>(rays->pieces.size()));
    rays->path_batch.push_back(batch);
    rays->path_walk.push_back(walk);
    if (rays->guide) {
      rays->path_after.push_back(track.piece);
      rays->path_parent.push_back(track.path);
    }
    track.path = path;
  }
};

/// Splits paths where their worth grows and ends them at random where it falls, to keep the weight near the start's
/// worth over that of the place.
struct GuidedRecorder : Recorder {
  /// A copy that waits to be walked.
  struct Branch {
    Packet packet;
    Track track;
  };
  double start_worth = 1;
  std::vector<Branch> branches;

  static constexpr double kSplitAbove = 2;     ///< times the wanted weight
  static constexpr double kGambleBelow = 0.4;  ///< times the wanted weight
  static constexpr double kMostWeight = 6;     ///< wanted anywhere
  static constexpr int kMostCopies = 64;

  bool steer(Packet& packet, base::Stream& random) {
    const double wanted = std::min(start_worth / rays->guide->at(packet.r, packet.u), kMostWeight);
    if (packet.w > kSplitAbove * wanted) {
      const int copies = static_cast<int>(std::min<double>(kMostCopies, std::ceil(packet.w / wanted)));
      packet.w /= copies;
      for (int k = 1; k < copies; ++k) branches.push_back({packet, track});
    } else if (packet.w < kGambleBelow * wanted) {
      const bool goes_on = random.uniform() * wanted < packet.w;
      packet.w = goes_on ? wanted : 0;
      return goes_on;
    }
    return true;
  }
};

}  // namespace throughcure::transport
