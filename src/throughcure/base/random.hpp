// Counter-based random numbers: a stream belongs to a photon (or a draw), so any number of threads gives the same
// answer.
#pragma once

#include <array>
#include <cstdint>

namespace throughcure::base {

using Philox4 = std::array<std::uint32_t, 4>;

/// One block of Philox4x32-10.
/// Source: Salmon, Moraes, Dror, Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3", SC11.
constexpr Philox4 philox4x32_10(Philox4 counter, std::array<std::uint32_t, 2> key) {
  constexpr std::uint64_t m0 = 0xD2511F53;
  constexpr std::uint64_t m1 = 0xCD9E8D57;
  constexpr std::uint32_t w0 = 0x9E3779B9;
  constexpr std::uint32_t w1 = 0xBB67AE85;
  for (int round = 0; round < 10; ++round) {
    const std::uint64_t p0 = m0 * counter[0];
    const std::uint64_t p1 = m1 * counter[2];
    counter = {static_cast<std::uint32_t>(p1 >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(p1),
               static_cast<std::uint32_t>(p0 >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(p0)};
    key[0] += w0;
    key[1] += w1;
  }
  return counter;
}

/// The random numbers of one photon: stream (seed, purpose, id), position counted from 0.
/// Two streams that differ in any of the three never share a block.
class Stream {
 public:
  Stream(std::uint64_t seed, std::uint32_t purpose, std::uint64_t id)
      : key_{static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)},
        counter_{0, static_cast<std::uint32_t>(id), static_cast<std::uint32_t>(id >> 32), purpose} {}

  /// The next 32 random bits.
  std::uint32_t bits() {
    if (left_ == 0) {
      block_ = philox4x32_10(counter_, key_);
      ++counter_[0];
      left_ = 4;
    }
    return block_[--left_];
  }

  /// Uniform in (0, 1): never 0 and never 1, so that log(uniform()) is finite. Resolution 2^-32.
  double uniform() { return (static_cast<double>(bits()) + 0.5) * 0x1p-32; }

 private:
  std::array<std::uint32_t, 2> key_;
  Philox4 counter_;
  Philox4 block_{};
  std::uint32_t left_ = 0;
};

}  // namespace throughcure::base
