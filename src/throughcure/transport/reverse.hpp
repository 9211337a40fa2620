// Light paths walked backwards from a cell: one run answers every tip, pose, beam and light.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <span>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/base/vec3.hpp"
#include "throughcure/transport/cell.hpp"
#include "throughcure/transport/guide.hpp"
#include "throughcure/transport/medium.hpp"

namespace throughcure::transport {

/// Media that a reverse path keeps account of; a scene has no more.
inline constexpr std::size_t kMostMedia = 16;

/// A straight piece of a reverse path through air. A posed tip cuts the first piece of a path that meets its face, and
/// the path ends there.
struct AirPiece {
  std::array<float, 3> r{};  ///< where it starts [mm]
  std::array<float, 3> u{};  ///< the way it goes, away from the cell: light comes along -u
  float length_mm = 0;       ///< infinite on the last
  float w = 0;               ///< weight on it: absorption, metal, roulette
};

/// The paths of one cell in one state of the scene and one band. Pieces of a path are consecutive and in order; the
/// account of a piece (by medium, up to it) lies in rows of `media` numbers. Only paths with air pieces are kept;
/// `launched` counts all. Paths take the walks, each in media of its own, in turn: the i-th launched is of walk
/// i mod `walks`.
/// A guided path splits: a branch is a path of its own, which goes on after a piece of another and is stopped where
/// that one is stopped up to there.
struct ReverseRays {
  /// No path or piece.
  static constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

  Cell cell;
  std::uint64_t seed = 1;
  std::uint32_t stream = 0;
  std::size_t walks = 1;
  std::shared_ptr<const Guide> guide{};
  double n_cell = 1;  ///< refractive index where the cell lies
  double n_air = 1;
  std::size_t media = 0;
  std::uint64_t per_batch = 0;  ///< launched paths of a batch
  std::uint64_t launched = 0;
  std::uint32_t batches = 0;  ///< batches of equally many launched paths, for standard errors
  std::vector<AirPiece> pieces;
  std::vector<std::uint32_t> path_starts;  ///< index of each path's first piece, with pieces.size() at the end
  std::vector<std::uint32_t> path_batch;   ///< batch of each path
  std::vector<std::uint32_t> path_after;   ///< of a branch: the piece that it goes on after, else kNone; guided only
  std::vector<std::uint32_t> path_parent;  ///< of a branch: the path of that piece, else kNone; guided only
  std::vector<std::uint32_t> path_walk;    ///< walk of each path
  std::vector<float> account;              ///< [piece][medium]: length [mm]; in metal, how often it was met
  double lost = 0;                         ///< weight that the geometry lost, per launched path

  [[nodiscard]] std::size_t paths() const { return path_batch.size(); }
  /// Of the first so many launched paths, those of one walk.
  [[nodiscard]] std::uint64_t launched_of(std::size_t walk, std::uint64_t of) const {
    return of / walks + (walk < of % walks ? 1 : 0);
  }
};

struct ReverseInput {
  Cell cell;
  std::uint64_t paths = 100'000;
  std::uint64_t seed = 1;
  std::uint32_t stream = 0;  ///< tells cells, states and bands of one seed apart
  std::uint32_t batches = 32;
  std::shared_ptr<const Guide> guide{};  ///< where it pays to follow paths; none: everywhere alike
};

/// Walks paths back from the cell. The cell must lie in one solid and its medium must not be metal or absent from
/// `media`; the scene has kMostMedia media at most. Same answer at any number of threads. Throws Failure where there
/// are more media.
ReverseRays run_reverse(const anatomy::Scene& scene, const Media& media, const ReverseInput& input,
                        const base::Running& running);

/// The same in several media in turn, as draws have them: one run, in which each draw has paths of its own. The walks
/// differ in absorption, scattering and reflectance, never in their kinds and indices of refraction (Failure where the
/// cell's does). Take the walks in an order in which neighbours differ, so that a batch is like any other.
ReverseRays run_reverse(const anatomy::Scene& scene, std::span<const Media> walks, const ReverseInput& input,
                        const base::Running& running);

/// Adds batches of the same size to a run in the same scene and media, which the caller must keep. A batch has the same
/// paths whenever it is walked: the result is that of one run with all batches.
void extend(ReverseRays& rays, const anatomy::Scene& scene, const Media& media, std::uint32_t more_batches,
            const base::Running& running);
void extend(ReverseRays& rays, const anatomy::Scene& scene, std::span<const Media> walks, std::uint32_t more_batches,
            const base::Running& running);

}  // namespace throughcure::transport
