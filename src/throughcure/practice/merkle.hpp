// A Merkle tree over a log that only grows: one root stands for every leaf and their order.
//
// Source: RFC 6962, section 2.1; the same in RFC 9162, section 2.1. A leaf and a node are hashed with different first
// bytes, so that nobody can pass one off as the other.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "throughcure/practice/digest.hpp"

namespace throughcure::practice {

/// SHA-256(0x00, leaf).
Digest leaf_hash(std::string_view leaf);

/// SHA-256(0x01, left, right).
Digest node_hash(const Digest& left, const Digest& right);

/// The root over these leaf hashes, by the definition: split at the largest power of two below n. No leaves:
/// SHA-256 of nothing. n - 1 node hashes.
Digest merkle_root(std::span<const Digest> leaves);

/// All of a tree that appending to it needs: the roots of the full subtrees along its right edge. A log of n leaves
/// has one for each 1 among the binary digits of n, at most 64.
class RightEdge {
 public:
  /// Of the empty tree.
  RightEdge() = default;

  /// As it was kept: how many leaves, and the subtrees' roots, the largest first. Throws base::Failure when the roots
  /// are not as many as a tree of that size has. Cannot tell whether they are the right ones.
  RightEdge(std::uint64_t size, std::vector<Digest> subtrees);

  /// One more leaf at the right: one node hash on average, log2 n at most.
  void append(const Digest& leaf);

  [[nodiscard]] std::uint64_t size() const { return size_; }
  [[nodiscard]] const std::vector<Digest>& subtrees() const { return subtrees_; }

  /// The root of the whole tree; log2 n node hashes at most.
  [[nodiscard]] Digest root() const;

 private:
  std::uint64_t size_ = 0;
  std::vector<Digest> subtrees_;
};

}  // namespace throughcure::practice
