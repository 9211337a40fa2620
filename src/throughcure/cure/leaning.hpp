// Proposals that lean towards what the facts want: the uniform numbers behind a draw, taken more often where draws of
// weight were found, and what such a draw then counts for.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/base/random.hpp"

namespace throughcure::cure {

/// How often each of a draw's uniform numbers is taken from each eighth of [0, 1]: a density with mean 1.
struct Leaning {
  static constexpr std::size_t kSteps = 8;
  static constexpr std::size_t kNumbers = 32;  ///< of a draw that can lean; those after them never do
  std::array<std::array<double, kSteps>, kNumbers> density = even();

  static constexpr std::array<std::array<double, kSteps>, kNumbers> even() {
    std::array<std::array<double, kSteps>, kNumbers> ones{};
    for (auto& number : ones) number.fill(1);
    return ones;
  }
};

/// In which eighth each number of a draw fell.
struct Fell {
  std::array<std::uint8_t, Leaning::kNumbers> step{};
  std::size_t numbers = 0;
};

/// The uniform numbers of one draw, leaning.
class LeaningStream {
 public:
  LeaningStream(base::Stream stream, const Leaning& leaning) : stream_(stream), leaning_(leaning) {}
  /// In (0, 1).
  double uniform();
  [[nodiscard]] const Fell& fell() const { return fell_; }

 private:
  base::Stream stream_;
  const Leaning& leaning_;
  Fell fell_;
};

/// One way of leaning, and how many proposals were drawn by it.
struct Stage {
  Leaning leaning;
  std::size_t proposals = 0;
};

/// Density, over an even one, at which all stages together propose a draw that fell so: what its weight is divided by.
/// Source: balance heuristic of multiple importance sampling, Veach, Guibas 1995, SIGGRAPH (published).
double density(std::span<const Stage> stages, const Fell& fell);

/// Leans to where weighted draws fell. Weights that are worth fewer than 100 draws are flattened first, by the least
/// root that makes them worth so many, so that few heavy draws do not lead astray; and 80 draws that fell evenly are
/// added.
Leaning lean(std::span<const Fell> fell, std::span<const double> weights);

}  // namespace throughcure::cure
